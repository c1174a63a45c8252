#include "cases/desk/case_facts.hpp"

#include <regex>

#include "cases/check/case_check.hpp"
#include "cases/file/read_case.hpp"
#include "cases/file/read_geometry.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::string stem_of(const std::string& name) {
  return std::filesystem::path(name).stem().string();
}

ordered_json as_json(const Eigen::Vector3d& v) {
  return ordered_json{v.x(), v.y(), v.z()};
}

ordered_json exposures_json(const Timeline& timeline, double from, double to) {
  ordered_json all = ordered_json::array();
  for (const Exposure& light : timeline.exposures)
    if (light.start >= from && light.start < to)
      all.push_back({{"start_s", light.start},
                     {"duration_s", light.duration},
                     {"irradiance_mW_cm2", light.irradiance},
                     {"travels", as_json(light.direction)}});
  return all;
}

/// Which [[plan.increment]], from 1, asks for an increment; the last one for all that no plane bounds.
int entry_of(const Plan& plan, std::size_t increment, int entries) {
  static const std::regex form(R"(increment\[(\d+)\]:$)");
  std::smatch found;
  const bool bounded = increment < plan.layout_entries.size() &&
                       std::regex_search(plan.layout_entries[increment], found, form);
  return bounded ? std::stoi(found[1].str()) : entries;
}

ordered_json increments_json(const Plan& plan, int entries) {
  const auto& placements = plan.timeline.placements;
  ordered_json all = ordered_json::array();
  for (std::size_t i = 0; i < placements.size(); ++i) {
    const double until = i + 1 < placements.size() ? placements[i + 1].time : INFINITY;
    ordered_json one{{"entry", entry_of(plan, i, entries)},
                     {"material", plan.materials[i]},
                     {"placed_s", placements[i].time},
                     {"exposures", exposures_json(plan.timeline, placements[i].time, until)},
                     {"plane", nullptr}};
    if (i < plan.layout.size())
      one["plane"] = {{"point", as_json(plan.layout[i].point)}, {"normal", as_json(plan.layout[i].normal)}};
    all.push_back(std::move(one));
  }
  return all;
}

MaterialLibrary library_of(const Section& root) {
  MaterialLibrary library = MaterialLibrary::load(material_library_file());
  if (!root.is_table("materials")) return library;
  const Section materials = root.section("materials");
  if (materials.is_text("include")) library.add(materials.folder("include") / materials.text("include"));
  if (materials.is_array("include"))
    for (const std::string& file : materials.texts("include"))
      library.add(materials.folder("include") / file);
  for (const Section& own : materials.sections("own")) library.add(own);
  return library;
}

template <class Material>
ordered_json names_of(const std::map<std::string, Sourced<Material>>& all) {
  ordered_json names = ordered_json::array();
  for (const auto& [name, material] : all) names.push_back({{"name", name}, {"about", material.about}});
  return names;
}

template <class Material>
ordered_json values_of(const std::map<std::string, Sourced<Material>>& all) {
  ordered_json values = ordered_json::object();
  for (const auto& [name, material] : all)
    values[name] = {{"about", material.about}, {"values", material.provenance}};
  return values;
}

ordered_json facts_of(const Case& input) {
  const int entries = static_cast<int>(input.source.section("plan").sections("increment").size());
  const FillingExtent extent = extent_of_filling(input.geometry);
  const MaterialLibrary library = library_of(input.source);
  return {{"ok", true},
          {"title", input.title},
          {"invented", input.invented},
          {"shape", kind_of(input.geometry)},
          {"is_tooth", std::holds_alternative<ToothCase>(input.geometry)},
          {"floor_mm", extent.floor},
          {"top_mm", extent.top},
          {"half_width_mm", extent.walls.half_width},
          {"centre_y_mm", extent.walls.centre},
          {"spread", extent.walls.spread},
          {"values", input.source.resolved()},
          {"allowed", input.source.allowed()},
          {"timeline", timeline_of(input.plan)},
          {"chair_time_s", input.plan.chair_time},
          {"end_s", input.plan.timeline.end},
          {"increments", increments_json(input.plan, entries)},
          {"composites", names_of(library.composites())},
          {"adhesives", names_of(library.adhesives())},
          {"materials", input.materials.provenance},
          {"notes", input.plan.notes},
          {"material_notes", input.materials.notes}};
}

}  // namespace

ordered_json told_fault(const DeskFolder& folder, const std::string& message) {
  std::string told = message;
  const std::string prefix = folder.path().string() + "/";
  for (std::size_t at = told.find(prefix); at != std::string::npos; at = told.find(prefix))
    told.erase(at, prefix.size());
  static const std::regex blamed(R"(^(?:[^:]*:\d+: )?([a-z_]+(?:\[\d+\])?(?:\.[\w\-]+(?:\[\d+\])?)+):? )");
  ordered_json fault{{"ok", false}, {"message", told}, {"key", nullptr}};
  if (std::smatch found; std::regex_search(told, found, blamed)) fault["key"] = found[1].str();
  return fault;
}

ordered_json case_facts(const DeskFolder& folder, const std::string& name, const std::string& text) {
  try {
    return facts_of(read_case_numbers(folder.layers_of(name, text), stem_of(name)));
  } catch (const CaseError& error) {
    return told_fault(folder, error.what());
  }
}

ordered_json case_classes(const DeskFolder& folder, const std::string& name, const std::string& text) {
  const CaseLayers layers = folder.layers_of(name, text);
  const MaterialLibrary library = library_of(Section({layers.begin(), layers.end()}));
  return {{"composites", values_of(library.composites())}, {"adhesives", values_of(library.adhesives())}};
}

}  // namespace setstress
