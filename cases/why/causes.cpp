#include "cases/why/causes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "cases/file/read_geometry.hpp"
#include "cases/file/read_plan.hpp"
#include "mesh/tetrahedra/measures.hpp"

namespace setstress {

namespace {

/// Classes with their values as they are placed, like neighbours once; flow is a cause of its own.
std::vector<Composite> placed(const Case& input) {
  std::vector<Composite> classes;
  for (const std::string& name : input.plan.materials) {
    Composite composite = input.materials.composites.at(name);
    composite.flow = {};
    if (classes.empty() || classes.back() != composite) classes.push_back(composite);
  }
  return classes;
}

Adhesive without_laws(Adhesive adhesive) {
  adhesive.name.clear();
  adhesive.strength_maturity.clear();
  adhesive.stiffness_maturity.clear();
  return adhesive;
}

bool matures(const std::map<Substrate, MaturityLaw>& laws) {
  return std::ranges::any_of(laws, [](const auto& law) { return law.second.points().front().maturity < 1; });
}

void make_mature(std::map<Substrate, MaturityLaw>& laws) {
  for (auto& [substrate, law] : laws) law = MaturityLaw::mature_at_once();
}

/// What was read below the keys of tooth or specimen and what holds and loads it, by key.
std::map<std::string, nlohmann::ordered_json> body_values(const Case& input) {
  constexpr std::array heads{"tooth",   "preparation", "specimen", "dentin_bands",
                             "support", "hold",        "pressure", "free_strain"};
  std::map<std::string, nlohmann::ordered_json> values;
  for (const auto& [key, entry] : input.source.resolved().items())
    if (std::ranges::find(heads, key.substr(0, key.find_first_of(".["))) != heads.end())
      values[key] = entry.at("value");
  return values;
}

/// Of two cases that both have a tooth, or both a specimen: each is read with the tissues that it has.
bool same_tissues(const Case& a, const Case& b) {
  const CaseMaterials &of_a = a.materials, &of_b = b.materials;
  if (of_a.tissue_attenuation != of_b.tissue_attenuation) return false;
  if (std::holds_alternative<Specimen>(a.geometry)) return of_a.fixture == of_b.fixture;
  return of_a.enamel == of_b.enamel && of_a.pulp == of_b.pulp && of_a.dentin == of_b.dentin;
}

/// `from`'s plan and pastes in the other's tooth.
void move_into(Case& from, const Case& tooth) {
  Case moved = tooth;
  moved.name = from.name;
  moved.materials.composites = from.materials.composites;
  moved.materials.adhesive = from.materials.adhesive;
  moved.materials.wall_bonds = from.materials.wall_bonds;
  moved.materials.strength_field = from.materials.strength_field;
  try {
    moved.plan = read_plan(from.source.section("plan"), extent_of_filling(tooth.geometry),
                           from.source.section("materials").text("filling", "conventional-paste"));
  } catch (const GeometryError& error) {
    throw CaseError(
        fmt::format("the plan of {} does not fit the tooth of {}, so what the tooth does and what "
                    "the plan does cannot be told apart: {}",
                    from.name, tooth.name, error.what()));
  }
  set_layout(moved.geometry, moved.plan.layout);
  from = std::move(moved);
}

void fill_with(Case& from, const WhySide& equal) {
  const std::string& name = equal.main_composite;
  from.materials.composites = {{name, equal.input.materials.composites.at(name)}};
  for (std::string& material : from.plan.materials) material = name;
}

void bond_with(Case& from, const WhySide& equal) {
  Adhesive adhesive = equal.input.materials.adhesive;
  adhesive.strength_maturity = from.materials.adhesive.strength_maturity;
  adhesive.stiffness_maturity = from.materials.adhesive.stiffness_maturity;
  from.materials.adhesive = std::move(adhesive);
  from.materials.wall_bonds = equal.input.materials.wall_bonds;
  from.materials.strength_field = equal.input.materials.strength_field;
}

bool loses_with_depth(const Case& input) {
  return input.materials.tissue_attenuation > 0 ||
         std::ranges::any_of(input.materials.composites,
                             [](const auto& each) { return each.second.light.attenuation > 0; });
}

bool loses_with_distance(const Case& input) {
  return std::ranges::any_of(input.plan.timeline.exposures,
                             [](const Exposure& exposure) { return exposure.tip.has_value(); });
}

bool ages(const Case& input) {
  return matures(input.materials.adhesive.strength_maturity) ||
         matures(input.materials.adhesive.stiffness_maturity);
}

bool flows(const Case& input) {
  return std::ranges::any_of(input.materials.composites,
                             [](const auto& each) { return each.second.flow.flows(); });
}

const std::vector<Cause> known_causes{
    {"tooth", "the tooth and its preparation", "tooth", false,
     [](const Case& a, const Case& b) { return body_values(a) != body_values(b) || !same_tissues(a, b); },
     [](Case& from, const WhySide& equal) { move_into(from, equal.input); }},
    {"composite", "the composite", "composite", false,
     [](const Case& a, const Case& b) { return placed(a) != placed(b); }, fill_with},
    {"adhesive", "the adhesive and its strength", "adhesive", false,
     [](const Case& a, const Case& b) {
       return without_laws(a.materials.adhesive) != without_laws(b.materials.adhesive) ||
              a.materials.wall_bonds != b.materials.wall_bonds ||
              a.materials.strength_field != b.materials.strength_field;
     },
     bond_with},
    {"light-depth", "light lost with depth", "light, depth", true,
     [](const Case& a, const Case& b) { return loses_with_depth(a) || loses_with_depth(b); },
     [](Case& from, const WhySide&) {
       from.materials.tissue_attenuation = 0;
       for (auto& [name, composite] : from.materials.composites) composite.light.attenuation = 0;
     }},
    {"light-distance", "light lost on its way from the lamp", "light, distance", true,
     [](const Case& a, const Case& b) { return loses_with_distance(a) || loses_with_distance(b); },
     [](Case& from, const WhySide&) {
       for (Exposure& exposure : from.plan.timeline.exposures) exposure.tip.reset();
     }},
    {"flow", "the flow of the paste", "flow", true,
     [](const Case& a, const Case& b) { return flows(a) || flows(b); },
     [](Case& from, const WhySide&) {
       for (auto& [name, composite] : from.materials.composites) composite.flow = {};
     }},
    {"maturing", "a bond that has yet to mature", "maturing bond", true,
     [](const Case& a, const Case& b) { return ages(a) || ages(b); },
     [](Case& from, const WhySide&) {
       make_mature(from.materials.adhesive.strength_maturity);
       make_mature(from.materials.adhesive.stiffness_maturity);
     }}};

}  // namespace

const std::vector<Cause>& all_causes() {
  return known_causes;
}

std::vector<Cause> causes_of(const Case& first, const Case& second) {
  std::vector<Cause> acting;
  std::ranges::copy_if(known_causes, std::back_inserter(acting),
                       [&](const Cause& cause) { return cause.acts(first, second); });
  return acting;
}

std::string main_composite_of(const Case& input, const Mesh& mesh) {
  const std::vector<double> by_region = region_volumes(mesh);
  std::map<std::string, double> volumes;
  for (std::size_t r = 0; r < mesh.regions.size(); ++r)
    if (mesh.regions[r].is_filling())
      volumes[input.plan.materials.at(static_cast<std::size_t>(mesh.regions[r].increment))] += by_region[r];
  const std::vector<std::string>& names = input.plan.materials;
  return *std::ranges::max_element(names, {}, [&](const std::string& name) { return volumes[name]; });
}

}  // namespace setstress
