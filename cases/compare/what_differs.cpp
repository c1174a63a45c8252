#include "cases/compare/what_differs.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace setstress {

using nlohmann::ordered_json;

namespace {

using Named = std::map<std::string, ordered_json>;  ///< {"value", "unit"} by name

/// Groups in the order in which they are told.
constexpr std::array group_order{
    "mesh",     "program version",      "composite",   "material values",
    "adhesive", "maturity of the bond", "light",       "time of the last reading",
    "tooth",    "preparation",          "specimen",    "holds and loads",
    "tissue",   "solver settings",      "other inputs"};

std::string spoken(std::string key) {
  std::ranges::replace(key, '_', ' ');
  std::ranges::replace(key, '.', ' ');
  return key;
}

ordered_json valued(const ordered_json& value, const std::string& unit = "") {
  return {{"value", value}, {"unit", unit}};
}

/// What `a` and `b` have otherwise; what only one of them has as well, unless `common_only`.
void add_differences(const std::string& group, const Named& a, const Named& b, bool common_only,
                     std::vector<Difference>& out) {
  std::set<std::string> names;
  for (const Named* side : {&a, &b})
    for (const auto& entry : *side) names.insert(entry.first);
  const auto value = [](const Named& side, const std::string& name) {
    const auto found = side.find(name);
    return found == side.end() ? ordered_json(nullptr) : found->second.at("value");
  };
  for (const std::string& name : names) {
    if (common_only && (!a.contains(name) || !b.contains(name))) continue;
    const ordered_json first = value(a, name), second = value(b, name);
    const Named& side = a.contains(name) ? a : b;
    if (first != second) out.push_back({group, spoken(name), first, second, side.at(name).value("unit", "")});
  }
}

bool is_light(const std::string& key) {
  return key.starts_with("plan.") && key.find("light[") != std::string::npos && !key.ends_with(".delay");
}

/// Where an input is told, "" for one that is told by its effect (values of materials), belongs to the
/// placing or says nothing of the run.
std::string group_of(const std::string& key) {
  const std::string part = key.substr(0, key.find_first_of(".["));
  if (part == "tooth" || part == "preparation" || part == "specimen") return part;
  if (part == "dentin_bands") return "tooth";
  if (key == "plan.end") return "time of the last reading";
  if (part == "support" || part == "hold" || part == "load" || part == "foundation" || part == "pressure" ||
      part == "free_strain")
    return "holds and loads";
  if (key == "materials.adhesive" || key.starts_with("bond.strength_field")) return "adhesive";
  if (key == "materials.fixture" || key == "materials.tissue_attenuation") return "tissue";
  for (const char* told_elsewhere : {"case", "mesh", "solver", "plan", "materials", "bond"})
    if (part == told_elsewhere) return "";
  return "other inputs";
}

/// "preparation.depth" is the depth of the group preparation, "hold[1].ramp" stays whole.
std::string name_in_group(const std::string& key, const std::string& group) {
  const std::string head = group + ".";
  if (key.starts_with(head)) return key.substr(head.size());
  if (key == "plan.end") return "after the last light";
  return key == "materials.adhesive" ? "class" : key;
}

std::map<std::string, Named> inputs_by_group(const ResultRecord& record) {
  std::map<std::string, Named> groups;
  for (const auto& [key, entry] : record.manifest.at("inputs").items())
    if (const std::string group = group_of(key); !group.empty())
      groups[group][name_in_group(key, group)] = entry;
  return groups;
}

/// By property of the lamp, its values in the order of the plan, like neighbours once.
Named lights(const ResultRecord& record) {
  Named properties;
  for (const auto& [key, entry] : record.manifest.at("inputs").items()) {
    if (!is_light(key)) continue;
    ordered_json& property = properties[key.substr(key.rfind("].") + 2)];
    if (property.is_null()) property = valued(ordered_json::array(), entry.value("unit", ""));
    ordered_json& values = property["value"];
    if (values.empty() || values.back() != entry.at("value")) values.push_back(entry.at("value"));
  }
  return properties;
}

/// Classes in the order in which they are placed, like neighbours once.
ordered_json placed_classes(const ResultRecord& record) {
  ordered_json classes = ordered_json::array();
  for (const ordered_json& event : record.summary.at("timeline")) {
    const std::string words = event.at("event");
    const std::size_t mark = words.find(" placed: ");
    if (!words.starts_with("increment ") || mark == std::string::npos) continue;
    const std::string name = words.substr(mark + 9);
    if (classes.empty() || classes.back() != name) classes.push_back(name);
  }
  return classes;
}

/// Values of the classes of one kind; `maturity`: only laws, or all but them. The adhesive goes without its
/// class, so that two adhesives can be set beside each other.
Named values_of(const ResultRecord& record, const std::string& kind, bool maturity) {
  Named values;
  if (!record.manifest.at("materials").contains(kind)) return values;
  for (const auto& [name, material] : record.manifest.at("materials").at(kind).items())
    for (const auto& [key, entry] : material.at("values").items()) {
      if (entry.contains("law") != maturity) continue;
      const std::string whole = kind == "adhesive" ? key : name + "." + key;
      values[whole] = maturity ? valued({{"law", entry.at("law")}, {"points", entry.at("points")}}) : entry;
    }
  return values;
}

/// A law of all substrates alike once, under the name before the full stop.
Named laws_of(const ResultRecord& record) {
  std::map<std::string, std::vector<std::string>> kinds;
  Named laws = values_of(record, "adhesive", true);
  for (const auto& [name, law] : laws) kinds[name.substr(0, name.find('.'))].push_back(name);
  for (const auto& [kind, names] : kinds) {
    const ordered_json law = laws.at(names.front());
    if (!std::ranges::all_of(names, [&](const std::string& name) { return laws.at(name) == law; })) continue;
    for (const std::string& name : names) laws.erase(name);
    laws[kind] = law;
  }
  return laws;
}

ordered_json adhesive_class(const ResultRecord& record) {
  const ordered_json& inputs = record.manifest.at("inputs");
  return inputs.contains("materials.adhesive") ? inputs.at("materials.adhesive").at("value") : nullptr;
}

Named mesh_sizes(const ResultRecord& record) {
  const ordered_json& mesh = record.manifest.at("mesh");
  return {{"elements at the bond", valued(mesh.at("size_at_bond_mm"), "mm")},
          {"largest element in the filling", valued(mesh.at("largest_in_filling_mm"), "mm")},
          {"largest element elsewhere", valued(mesh.at("largest_elsewhere_mm"), "mm")},
          {"tied bond", valued(mesh.at("tied_bond"))}};
}

/// What changes numbers; threads and kind of linear solver change round-off alone.
Named solver_settings(const ResultRecord& record) {
  Named settings;
  for (const auto& [key, value] : record.manifest.at("solver").items())
    if (key != "mode" && key != "threads" && key != "linear_solver") settings[key] = valued(value);
  return settings;
}

void add_materials(const ResultRecord& a, const ResultRecord& b, std::vector<Difference>& out) {
  add_differences("composite", {{"placed", valued(placed_classes(a))}},
                  {{"placed", valued(placed_classes(b))}}, false, out);
  add_differences("material values", values_of(a, "composite", false), values_of(b, "composite", false), true,
                  out);
  add_differences("tissue", values_of(a, "tissue", false), values_of(b, "tissue", false), true, out);
  if (adhesive_class(a) == adhesive_class(b))
    add_differences("adhesive", values_of(a, "adhesive", false), values_of(b, "adhesive", false), false, out);
  add_differences("maturity of the bond", laws_of(a), laws_of(b), false, out);
}

}  // namespace

std::vector<Difference> what_differs(const ResultRecord& a, const ResultRecord& b) {
  std::vector<Difference> all;
  add_differences("mesh", mesh_sizes(a), mesh_sizes(b), false, all);
  add_differences("program version", {{"version", valued(a.manifest.at("version"))}},
                  {{"version", valued(b.manifest.at("version"))}}, false, all);
  add_materials(a, b, all);
  add_differences("light", lights(a), lights(b), false, all);
  std::map<std::string, Named> inputs_a = inputs_by_group(a), inputs_b = inputs_by_group(b);
  for (const char* group : group_order) add_differences(group, inputs_a[group], inputs_b[group], false, all);
  add_differences("solver settings", solver_settings(a), solver_settings(b), false, all);
  std::ranges::stable_sort(all, {}, [](const Difference& d) {
    return std::ranges::find(group_order, std::string_view(d.group)) - group_order.begin();
  });
  return all;
}

bool placed_alike(const ResultRecord& a, const ResultRecord& b) {
  const auto placing = [](const ResultRecord& record) {
    std::map<std::string, ordered_json> values;
    for (const auto& [key, entry] : record.manifest.at("inputs").items())
      if (key.starts_with("plan.") && key != "plan.end" && !is_light(key) && !key.ends_with(".material"))
        values[key] = entry.at("value");
    return values;
  };
  return placing(a) == placing(b);
}

}  // namespace setstress
