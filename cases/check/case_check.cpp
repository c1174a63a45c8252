#include "cases/check/case_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/check/cure_check.hpp"
#include "cases/check/cure_json.hpp"
#include "cases/file/read_geometry.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/run_cost.hpp"
#include "cases/pose/unused_values.hpp"
#include "mesh/tetrahedra/measures.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double gigabyte = 1024.0 * 1024 * 1024;

ordered_json volumes(const Mesh& mesh) {
  ordered_json report = ordered_json::object();
  const std::vector<double> volume = region_volumes(mesh);
  for (std::size_t r = 0; r < mesh.regions.size(); ++r) report[mesh.regions[r].name] = volume[r];
  return report;
}

ordered_json walls(const Case& input, const Mesh& mesh) {
  const std::vector<Substrate> substrates = substrates_of(mesh, input.bands);
  ordered_json report = ordered_json::array();
  for (std::size_t w = 0; w < mesh.walls.size(); ++w) {
    std::map<Substrate, double> areas;
    double total = 0;
    for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
      if (mesh.bond[f].wall != static_cast<int>(w)) continue;
      const double area = area_and_normal(mesh, mesh.bond[f].tooth).area;
      areas[substrates[f]] += area;
      total += area;
    }
    ordered_json by_substrate = ordered_json::object();
    for (const auto& [substrate, area] : areas) by_substrate[name_of(substrate)] = area;
    report.push_back({{"wall", mesh.walls[w]}, {"area_mm2", total}, {"area_by_substrate_mm2", by_substrate}});
  }
  return report;
}

ordered_json factor(const BondedAndFree& areas) {
  return {{"c_factor", areas.c_factor()}, {"bonded_mm2", areas.bonded}, {"free_mm2", areas.free}};
}

std::string side_text(const Eigen::Vector3d& direction) {
  if (direction.z() < -0.999) return "from occlusal";
  if (direction.y() < -0.999) return "from buccal";
  if (direction.y() > 0.999) return "from lingual";
  if (direction.x() > 0.999) return "from mesial";
  if (direction.x() < -0.999) return "from distal";
  return fmt::format("travelling along ({:.2f}, {:.2f}, {:.2f})", direction.x(), direction.y(),
                     direction.z());
}

std::string volumes_text(const ordered_json& report) {
  std::string text = "Volumes [mm3]\n";
  for (const auto& [region, volume] : report.items())
    text += fmt::format("  {:<16}{:9.3f}\n", region, volume.get<double>());
  return text;
}

std::string walls_text(const ordered_json& report) {
  std::string text = "Bonded walls [mm2]\n";
  for (const ordered_json& wall : report) {
    text += fmt::format("  {:<16}{:9.3f}  ", wall["wall"].get<std::string>(), wall["area_mm2"].get<double>());
    const char* comma = "";
    for (const auto& [substrate, area] : wall["area_by_substrate_mm2"].items()) {
      text += fmt::format("{}{} {:.2f}", comma, substrate, area.get<double>());
      comma = ", ";
    }
    text += '\n';
  }
  return text;
}

std::string factors_text(const ordered_json& report) {
  const auto row = [](const std::string& name, const ordered_json& r) {
    const double factor = r["c_factor"].is_number() ? r["c_factor"].get<double>() : INFINITY;
    return fmt::format("  {:<16}{:9.2f}  bonded {:.2f}, free {:.2f} mm2\n", name, factor,
                       r["bonded_mm2"].get<double>(), r["free_mm2"].get<double>());
  };
  std::string text = "C-factor [-] (bonded over free area)\n";
  for (const ordered_json& r : report["increments"])
    text += row(fmt::format("increment {}", r["increment"].get<int>()), r);
  return text + row("whole filling", report["whole"]);
}

}  // namespace

ordered_json timeline_of(const Plan& plan) {
  std::vector<std::pair<double, std::string>> events{{0.0, "bond cured"}};
  for (const Placement& placement : plan.timeline.placements)
    events.emplace_back(placement.time,
                        fmt::format("increment {} placed: {}", placement.increment + 1,
                                    plan.materials[static_cast<std::size_t>(placement.increment)]));
  for (const Exposure& light : plan.timeline.exposures) {
    events.emplace_back(light.start, fmt::format("light on, {:g} mW/cm2 {}{}", light.irradiance,
                                                 light.tip ? "at the tip " : "", side_text(light.direction)));
    events.emplace_back(light.start + light.duration, "light off");
  }
  for (std::size_t b = 0; b < plan.timeline.bites.size(); ++b) {
    const Bite& bite = plan.timeline.bites[b];
    events.emplace_back(bite.start,
                        fmt::format("bite {}: {:g} N on \"{}\"{}", b + 1, bite.force, bite.surface,
                                    bite.cycles > 1 ? fmt::format(", {} times", bite.cycles) : ""));
  }
  events.emplace_back(plan.timeline.end, "end of the run");
  std::stable_sort(events.begin(), events.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  ordered_json report = ordered_json::array();
  for (const auto& [time, event] : events) report.push_back({{"time_s", time}, {"event", event}});
  return report;
}

ordered_json c_factors(const Case& input, const Mesh& mesh) {
  std::vector<std::string> held;  // a surface held in every direction stands for a rigid plate
  if (std::holds_alternative<Specimen>(input.geometry))
    for (const FixedSurface& fixed : input.supports.fixed)
      if (fixed.held == std::array<bool, 3>{true, true, true}) held.push_back(fixed.surface);
  const ConfigurationFactors factors = configuration_factors(mesh, held);
  ordered_json increments = ordered_json::array();
  for (std::size_t i = 0; i < factors.increments.size(); ++i) {
    ordered_json one{{"increment", i + 1}};
    one.update(factor(factors.increments[i]));
    increments.push_back(one);
  }
  return {{"increments", increments}, {"whole", factor(factors.whole)}};
}

ordered_json check_report(const Case& input, const Model& model) {
  const Mesh& mesh = model.mesh;
  ordered_json report{{"case", input.name},
                      {"title", input.title},
                      {"invented", input.invented},
                      {"shape", kind_of(input.geometry)}};
  report["volumes_mm3"] = volumes(mesh);
  report["walls"] = walls(input, mesh);
  report["c_factors"] = c_factors(input, mesh);
  report["timeline"] = timeline_of(input.plan);
  report["chair_time_s"] = input.plan.chair_time;
  report["cure"] = cure_without_solving(input, model);
  report["warnings"] = cure_warnings(report);
  report["mesh"] = {{"size_at_bond_mm", input.mesh_size.bond},
                    {"tetrahedra", mesh.tetrahedra.size()},
                    {"bond_facets", mesh.bond.size()},
                    {"unknowns", mesh.unknowns()}};
  report["mode"] = input.solver.mode == Mode::intact ? "intact" : "debonding";
  report["estimated_run_time_s"] = estimated_seconds(input, mesh.unknowns());
  report["estimated_run_memory_gb"] = estimated_memory(input, mesh.unknowns()) / gigabyte;
  report["notes"] = notes_on(input, mesh);
  report["caution"] = caution_line;
  return report;
}

std::string as_text(const ordered_json& report) {
  std::string text = fmt::format("{}{}\nShape: {}\n\n", report["title"].get<std::string>(),
                                 report["invented"].get<bool>() ? " (invented for demonstration)" : "",
                                 report["shape"].get<std::string>());
  text += volumes_text(report["volumes_mm3"]);
  if (!report["walls"].empty()) text += fmt::format("\n{}", walls_text(report["walls"]));
  if (!report["c_factors"]["increments"].empty())
    text += fmt::format("\n{}", factors_text(report["c_factors"]));
  text += "\nTimeline\n";
  for (const ordered_json& event : report["timeline"])
    text += fmt::format("  {:>12}  {}\n", duration_text(event["time_s"].get<double>()),
                        event["event"].get<std::string>());
  text += fmt::format("Chair time {}\n\n", duration_text(report["chair_time_s"].get<double>()));
  if (const std::string cure = cure_text(report); !cure.empty()) text += cure + "\n";
  const ordered_json& mesh = report["mesh"];
  text += fmt::format("Mesh: {} tetrahedra, {} bond facets, {} unknowns at {:g} mm along the bond\n",
                      mesh["tetrahedra"].get<int>(), mesh["bond_facets"].get<int>(),
                      mesh["unknowns"].get<int>(), mesh["size_at_bond_mm"].get<double>());
  for (const ordered_json& note : report["notes"]) text += fmt::format("Note: {}\n", note.get<std::string>());
  text += fmt::format("A run ({}) takes about {} on two cores and {:.1f} GB of memory\n\n{}\n",
                      report["mode"].get<std::string>(),
                      duration_text(std::max(1.0, report["estimated_run_time_s"].get<double>())),
                      report["estimated_run_memory_gb"].get<double>(), report["caution"].get<std::string>());
  return text;
}

}  // namespace setstress
