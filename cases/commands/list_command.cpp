#include <fmt/format.h>

#include <toml++/toml.h>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cases/commands/commands.hpp"
#include "cases/commands/list_report.hpp"
#include "cases/file/flat_case.hpp"
#include "cases/library/material_library.hpp"
#include "cases/library/unused_fields.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/words/result_numbers.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

ordered_json ready_made() {
  ordered_json report = ordered_json::array();
  for (const auto& file : ready_made_cases()) {
    const auto table = parse_toml(file);
    const auto header = (*table)["case"];
    report.push_back({{"name", file.stem().string()},
                      {"title", header["title"].value_or(std::string())},
                      {"notes", header["notes"].value_or(std::string())},
                      {"file", file.string()}});
  }
  return report;
}

template <class Material>
ordered_json classes(const std::map<std::string, Sourced<Material>>& all) {
  ordered_json report = ordered_json::array();
  for (const auto& [name, material] : all)
    report.push_back({{"name", name}, {"about", material.about}, {"values", material.provenance}});
  return report;
}

ordered_json maturity_laws() {
  return ordered_json::array(
      {{{"name", "chairside-rule"},
        {"about",
         "70 % of the strength 1 min after the bond is cured, 80 % at 3 min, 90 % at 5 min, all at 120 h; "
         "at_once is the share right after curing, an assumption"},
        {"source", "common practice, no source"}},
       {{"name", "ten-minute-pair"},
        {"about",
         "ratio is the share of the 24 h strength reached at 10 min (published: 0.61 to 0.96); at_once is "
         "the "
         "share right after curing, an assumption"},
        {"source", "Price and Hall 1999, Quintessence Int 30:122-134"}},
       {{"name", "mature-at-once"},
        {"about", "constant: no difference found between immediate and 24 h strength"},
        {"source", "Sadek 2005, J Adhes Dent 7:297-302"}},
       {{"name", "table"},
        {"about", "your own points: points = [[0, 0.4], [60, 0.7]], s and share"},
        {"source", "yours"}}});
}

ordered_json outputs_json() {
  ordered_json report = ordered_json::array();
  for (const ResultNumber& output : result_numbers())
    report.push_back({{"where", output.where}, {"name", output.name}, {"meaning", output.meaning}});
  return report;
}

ordered_json values_without_use() {
  ordered_json report = ordered_json::array();
  for (const UnusedField& field : unused_fields())
    report.push_back({{"kind", field.kind}, {"key", field.key}, {"why", field.why}});
  return report;
}

/// "published (12), assumption (3)": what the values of a class rest on.
std::string bases_text(const ordered_json& values) {
  std::map<std::string, int> count;
  for (const auto& [key, value] : values.items())
    if (value.contains("basis")) ++count[value["basis"].get<std::string>()];
  std::string text;
  for (const auto& [basis, number] : count)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", number, basis);
  return text;
}

std::string classes_text(const char* heading, const ordered_json& report) {
  std::string text = fmt::format("\n{}\n", heading);
  for (const ordered_json& one : report) {
    const std::string about_class = one["about"].get<std::string>(), bases = bases_text(one["values"]);
    text += fmt::format("  {:<28}{}", one["name"].get<std::string>(), about_class);
    text += about_class.empty() ? fmt::format("values: {}\n", bases)
                                : fmt::format("\n  {:<28}  values: {}\n", "", bases);
  }
  return text;
}

std::string list_text(const ordered_json& report) {
  std::string text = "Ready-made cases (all invented for demonstration)\n";
  for (const ordered_json& one : report["cases"])
    text += fmt::format("  {:<28}{}\n", one["name"].get<std::string>(), one["title"].get<std::string>());
  text += classes_text("Classes of composite", report["composites"]);
  text += classes_text("Classes of adhesive", report["adhesives"]);
  text += classes_text("Tissues", report["tissues"]);
  text += classes_text("Fixtures of specimens", report["fixtures"]);
  text += "\nLaws of bond maturity (strength or stiffness now, as a share of the fully matured bond)\n";
  for (const ordered_json& one : report["maturity_laws"])
    text += fmt::format("  {:<28}{}\n  {:<28}  source: {}\n", one["name"].get<std::string>(),
                        one["about"].get<std::string>(), "", one["source"].get<std::string>());
  text += "\nValues that are kept with a class, and on which no result depends\n";
  for (const ordered_json& one : report["values_without_use"])
    text += fmt::format("  {:<28}of {}: {}\n", one["key"].get<std::string>(), one["kind"].get<std::string>(),
                        one["why"].get<std::string>());
  text += "\nWhat results hold (a wall's keys in summary.json are the columns of walls.csv)\n";
  for (const ordered_json& one : report["outputs"])
    text += fmt::format("  {:<14}{:<28}{}\n", one["where"].get<std::string>(), one["name"].get<std::string>(),
                        one["meaning"].get<std::string>());
  return text + fmt::format("\nEvery value with its source: setstress list --json\n\n{}\n", caution_line);
}

/// With its comments where it stands alone, else with all that it builds on written in.
std::string text_to_copy(const std::filesystem::path& file) {
  const CaseLayers layers = case_layers(file);
  if (layers.size() > 1)
    return fmt::format("# {}, with all that it builds on; invented for demonstration\n\n{}",
                       file.stem().string(), text_of(flattened(layers)));
  std::ifstream stream(file);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

int copy_ready_made(const CommandLine& line) {
  const std::string& name = line.inputs.front();
  const std::filesystem::path from = find_ready_made(name, ready_made_cases(), "case");
  const std::filesystem::path to = line.inputs.size() > 1 ? line.inputs[1] : name + ".toml";
  std::error_code ignored;
  if (std::filesystem::exists(std::filesystem::symlink_status(to, ignored)))
    throw CaseError(fmt::format("{} is there already; give another name: setstress list --copy {} FILE",
                                shortened(to.string()), name));
  write_file(to, text_to_copy(from));
  fmt::print("{}: yours to change; setstress check {} says all that follows from it\n", to.string(),
             to.string());
  return 0;
}

}  // namespace

ordered_json list_report() {
  const MaterialLibrary library = MaterialLibrary::load(material_library_file());
  return {{"cases", ready_made()},
          {"composites", classes(library.composites())},
          {"adhesives", classes(library.adhesives())},
          {"tissues", classes(library.tissues())},
          {"fixtures", classes(library.fixtures())},
          {"maturity_laws", maturity_laws()},
          {"values_without_use", values_without_use()},
          {"outputs", outputs_json()},
          {"caution", caution_line}};
}

int list_command(const CommandLine& line) {
  if (!line.inputs.empty()) return copy_ready_made(line);
  const ordered_json report = list_report();
  fmt::print("{}", line.json ? report.dump(2) + "\n" : list_text(report));
  return 0;
}

}  // namespace setstress
