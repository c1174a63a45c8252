#include "cases/pose/pose.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cases/file/meshing_fault.hpp"
#include "cases/pose/run_cost.hpp"
#include "mesh/geometry/names.hpp"
#include "mesh/tetrahedra/measures.hpp"
#include "solver/body/contact_patch.hpp"
#include "solver/run/model_check.hpp"

namespace setstress {

namespace {

RegionMaterial law_of(const Region& region, const Case& input) {
  const CaseMaterials& materials = input.materials;
  if (region.is_filling())
    return materials.composites.at(input.plan.materials.at(static_cast<std::size_t>(region.increment)));
  if (region.name == "enamel") return materials.enamel;
  if (region.name == "dentin") return BandedDentin{input.bands, materials.dentin};
  if (region.name == "pulp") return materials.pulp;
  return materials.fixture;
}

/// `key` of `entry`, where it is given, must be one of the names of this shape.
void require_name(const Section& entry, const char* key, const std::vector<std::string>& names) {
  if (!entry.has(key)) return;
  const std::string name = entry.text(key);
  if (std::find(names.begin(), names.end(), name) != names.end()) return;
  const auto guess = did_you_mean(name, names);
  entry.fail(key,
             fmt::format("is \"{}\"; {}this shape has: {}", name,
                         guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(names, ", ")));
}

/// [bond.wall] must name walls that are there.
void require_walls(const Case& input, const std::vector<std::string>& names) {
  const Section walls = input.source.section("bond").section("wall");
  for (const auto& [wall, bond] : input.materials.wall_bonds) {
    if (std::find(names.begin(), names.end(), wall) != names.end()) continue;
    const auto guess = did_you_mean(wall, names);
    walls.fail(
        wall, fmt::format("is no wall of this shape; {}it has: {}",
                          guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(names, ", ")));
  }
}

/// What [bond.wall], [[hold]], [[pressure]], [[free_strain]] and [[bite]] name must be there.
void require_names(const Case& input, const ShapeNames& names) {
  require_walls(input, names.walls);
  for (const Section& hold : input.source.sections("hold")) {
    require_name(hold, "surface", names.surfaces);
    require_name(hold, "meeting", names.surfaces);
  }
  for (const char* loads : {"pressure", "bite"})
    for (const Section& load : input.source.sections(loads)) require_name(load, "surface", names.surfaces);
  for (const Section& entry : input.source.sections("free_strain"))
    require_name(entry, "region", names.bodies);
}

ShapeNames names_on(const Mesh& mesh) {
  ShapeNames names{.surfaces = {}, .walls = mesh.walls, .bodies = {}};
  for (const Surface& surface : mesh.surfaces) names.surfaces.push_back(surface.name);
  for (const Region& region : mesh.regions)
    if (!region.is_filling()) names.bodies.push_back(region.name);
  return names;
}

/// Every bite must meet the surface that it names.
void require_bites_meet(const Case& input, const Mesh& mesh) {
  const std::vector<Section> entries = input.source.sections("bite");
  for (std::size_t b = 0; b < entries.size(); ++b) try {
      contact_patch(mesh, input.plan.timeline.bites.at(b));
    } catch (const BiteFault& fault) {
      entries[b].fail(fault.key, fault.what());
    }
}

/// Every increment of the plan must have become a region of its own.
void require_increments(const Case& input, const Mesh& mesh) {
  const auto found = static_cast<std::size_t>(std::count_if(mesh.regions.begin(), mesh.regions.end(),
                                                            [](const Region& r) { return r.is_filling(); }));
  if (found != input.plan.materials.size())
    throw CaseError(
        fmt::format("{}: plan.increment describes {} increments, but the layout cuts the cavity into {}; "
                    "check the thicknesses and planes",
                    place_of(input.source, "plan.increment"), input.plan.materials.size(), found));
}

/// Blames the first exposure of the plan that says how light is lost with distance.
[[noreturn]] void fail_at_first_table(const Case& input, const std::string& sentence) {
  const Section plan = input.source.section("plan");
  std::vector<Section> lights;
  for (const Section& increment : plan.sections("increment"))
    for (const Section& light : increment.sections("light")) lights.push_back(light);
  for (const Section& light : plan.sections("light")) lights.push_back(light);
  for (const Section& light : lights)
    for (const char* key : {"distance_table", "distance_curve"})
      if (light.has(key) && !(light.is_text(key) && light.text(key) == "none")) light.fail(key, sentence);
  plan.fail("light", sentence);
}

/// Supports that do not fit the body are the case's fault.
void require_supports(const Case& input, const Model& model) {
  try {
    require_held(model);
  } catch (const std::invalid_argument& error) {
    throw CaseError(fmt::format("{}: {}", place_of(input.source, "hold"), error.what()));
  }
}

/// What is left of a lamp's light must be known as far as it has to reach.
void require_light_reaches(const Case& input, const Mesh& mesh) {
  for (const Exposure& exposure : input.plan.timeline.exposures) {
    if (!exposure.tip || exposure.tip->kept.keeps_last) continue;
    const double outermost = outermost_along(mesh, exposure.direction);
    double farthest = 0;
    for (const Tetrahedron& tetrahedron : mesh.tetrahedra) {
      if (!mesh.regions[static_cast<std::size_t>(tetrahedron.region)].is_filling()) continue;
      for (const int node : tetrahedron.nodes) {
        const double along = mesh.nodes[static_cast<std::size_t>(node)].dot(exposure.direction);
        farthest = std::max(farthest, exposure.tip->to(along - outermost));
      }
    }
    const double known = exposure.tip->kept.points.back().first;
    if (farthest > known + 1e-6)
      fail_at_first_table(
          input,
          fmt::format("ends at {:g} [mm], but the filling reaches to {:.4g} from the tip; extend the table, "
                      "move the tip (tip_gap), or say beyond_table = \"keep-last\"",
                      known, farthest));
  }
}

/// By facet and facet point; empty where strength does not vary.
StrengthFactors strength_factors(const Case& input, const Model& model) {
  StrengthFactors factors;
  const auto& field = input.materials.strength_field;
  if (!field) return factors;
  const RandomField normal(field->length, field->seed);
  for (std::size_t f = 0; f < model.mesh.bond.size(); ++f) {
    const SixNodes& nodes = model.mesh.bond[f].tooth;
    const double modulus =
        field->weibull_modulus > 0 ? field->weibull_modulus : strength_at(model, f).weibull_modulus;
    auto& of_facet = factors.emplace_back();
    for (std::size_t p = 0; p < 6; ++p) {
      Eigen::Vector3d place = Eigen::Vector3d::Zero();
      for (std::size_t corner = 0; corner < 3; ++corner)
        place +=
            facet_points()[p].barycentric[corner] * model.mesh.nodes[static_cast<std::size_t>(nodes[corner])];
      of_facet[p] = weibull_factor(normal.at(place), modulus);
    }
  }
  return factors;
}

double area_of(const Mesh& mesh, const std::string& surface) {
  const std::vector<double> areas = surface_areas(mesh);
  for (std::size_t i = 0; i < areas.size(); ++i)
    if (mesh.surfaces[i].name == surface) return areas[i];
  throw std::logic_error(fmt::format("no surface '{}'", surface));
}

}  // namespace

std::vector<Substrate> substrates_of(const Mesh& mesh, const DentinBands& bands) {
  std::vector<Substrate> substrates;
  substrates.reserve(mesh.bond.size());
  for (const BondFacet& facet : mesh.bond) {
    const Tetrahedron& behind = mesh.tetrahedra[static_cast<std::size_t>(facet.tooth_tetrahedron)];
    const std::string& tissue = mesh.regions[static_cast<std::size_t>(behind.region)].name;
    double level = 0;
    for (int corner = 0; corner < 3; ++corner)
      level += mesh.nodes[static_cast<std::size_t>(facet.tooth[static_cast<std::size_t>(corner)])].z() / 3.0;
    if (tissue == "enamel")
      substrates.push_back(Substrate::enamel);
    else
      substrates.push_back(tissue == "dentin" ? bands.at(level) : Substrate::fixture);
  }
  return substrates;
}

Mesh mesh_of(const Case& input, const TellUnknowns& tell) {
  require_names(input, names_in(input.geometry));
  Mesh mesh;
  const auto before = [&](const SolidSizes& solids) {
    const double unknowns = estimated_unknowns(solids, input.mesh_size);
    require_memory(input, unknowns, true);
    if (tell) tell(unknowns);
  };
  blaming_case(input, [&] { mesh = build_mesh(input.geometry, input.mesh_size, before); });
  require_memory(input, mesh.unknowns(), false);
  require_increments(input, mesh);
  require_names(input, names_on(mesh));
  require_bites_meet(input, mesh);
  return mesh;
}

Model pose(const Case& input) {
  return pose(input, mesh_of(input));
}

Model pose(const Case& input, Mesh mesh) {
  require_increments(input, mesh);
  require_names(input, names_on(mesh));
  require_bites_meet(input, mesh);
  require_light_reaches(input, mesh);
  Model model;
  model.mesh = std::move(mesh);
  for (const Region& region : model.mesh.regions) model.materials.push_back(law_of(region, input));
  model.adhesive = input.materials.adhesive;
  model.wall_bonds = input.materials.wall_bonds;
  model.substrates = substrates_of(model.mesh, input.bands);
  model.strength_factors = strength_factors(input, model);
  model.fixed = input.supports.fixed;
  model.foundations = input.supports.foundations;
  if (input.supports.frame)
    model.foundations.push_back({"top", input.supports.frame->stiffness / area_of(model.mesh, "top"), 0.0});
  model.pressures = input.supports.pressures;
  model.free_strains = input.supports.free_strains;
  model.timeline = input.plan.timeline;
  model.gap_fluid = input.plan.gap_fluid;
  if (model.gap_fluid) model.gap_fluid->way_opening = input.gap_threshold;
  model.tissue_attenuation = input.materials.tissue_attenuation;
  require_supports(input, model);
  require_valid(model);
  return model;
}

}  // namespace setstress
