#include "solver/run/model_check.hpp"

#include <fmt/format.h>

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <stdexcept>

#include "solver/body/contact_patch.hpp"
#include "solver/body/supports.hpp"
#include "solver/bond/bond_layer.hpp"

namespace setstress {
namespace {

[[noreturn]] void refuse(const std::string& sentence) {
  throw std::invalid_argument(sentence);
}

void require_materials(const Model& model) {
  const auto& regions = model.mesh.regions;
  if (model.materials.size() != regions.size())
    refuse(fmt::format("the model has {} materials for {} regions; needs one each", model.materials.size(),
                       regions.size()));
  for (std::size_t i = 0; i < regions.size(); ++i)
    if (std::holds_alternative<Composite>(model.materials[i]) != regions[i].is_filling())
      refuse(fmt::format("region '{}' must {}be a composite", regions[i].name,
                         regions[i].is_filling() ? "" : "not "));
}

/// The bonds that facets have, and to which substrates: values of walls of their own beside the adhesive's.
std::map<std::string, std::pair<WallBond, std::set<Substrate>>> bonds_by_wall(const Model& model) {
  std::map<std::string, std::pair<WallBond, std::set<Substrate>>> bonds;
  for (std::size_t f = 0; f < model.mesh.bond.size(); ++f) {
    const std::string& wall = model.mesh.walls[static_cast<std::size_t>(model.mesh.bond[f].wall)];
    const auto own = model.wall_bonds.find(wall);
    const bool has_own = own != model.wall_bonds.end();
    auto& [bond, substrates] = bonds[has_own ? wall : ""];
    if (substrates.empty()) bond = has_own ? own->second : wall_bond(model.adhesive);
    substrates.insert(model.substrates[f]);
  }
  return bonds;
}

/// The softening law needs more fracture energy than the film stores at its strength, at every maturity;
/// `strongest`: the largest strength factor, which strength and energy have in common.
void require_bond_can_soften(const WallBond& bond, const Adhesive& adhesive, Substrate substrate,
                             double strongest) {
  std::vector<double> instants{0.0};
  for (const auto& law :
       {adhesive.strength_maturity.at(substrate), adhesive.stiffness_maturity.at(substrate)})
    for (const MaturityLaw::Point& point : law.points()) instants.push_back(point.time);
  for (const double time : instants) {
    BondProperties p = bond_at(bond, adhesive, time)[static_cast<std::size_t>(substrate)];
    for (double* value : {&p.tensile_strength, &p.shear_strength, &p.opening_energy, &p.sliding_energy})
      *value *= strongest;
    for (const auto& pull :
         {Eigen::Vector3d(p.tensile_strength, 0, 0), Eigen::Vector3d(0, p.shear_strength, 0)})
      try {
        end_of_softening(pull, p);
      } catch (const std::runtime_error& error) {
        refuse(fmt::format("adhesive '{}' on {}, {} s after its cure{}: {}", adhesive.name,
                           name_of(substrate), time,
                           strongest == 1 ? "" : fmt::format(", {:.3g} times as strong in places", strongest),
                           error.what()));
      }
  }
}

void require_bond(const Model& model) {
  if (model.substrates.size() != model.mesh.bond.size())
    refuse(fmt::format("the model has {} substrates for {} bond facets; needs one each",
                       model.substrates.size(), model.mesh.bond.size()));
  if (!model.strength_factors.empty() && model.strength_factors.size() != model.mesh.bond.size())
    refuse(fmt::format("the model has strength factors for {} of {} bond facets; needs all or none",
                       model.strength_factors.size(), model.mesh.bond.size()));
  for (const auto& facet : model.strength_factors)
    for (const double factor : facet)
      if (!(factor > 0) || !std::isfinite(factor))
        refuse(fmt::format("a strength factor is {}; must be above 0", factor));
  for (const auto& [wall, own] : model.wall_bonds)
    if (std::ranges::find(model.mesh.walls, wall) == model.mesh.walls.end())
      refuse(
          fmt::format("the bond to wall '{}' has values of its own; this geometry has no such wall", wall));
  const Adhesive& adhesive = model.adhesive;
  for (const auto& [wall, part] : bonds_by_wall(model))
    for (const Substrate substrate : part.second)
      if (!part.first.strength.contains(substrate) || !adhesive.strength_maturity.contains(substrate) ||
          !adhesive.stiffness_maturity.contains(substrate))
        refuse(fmt::format("adhesive '{}' has no values for {}, on which part of the bond sits",
                           adhesive.name, name_of(substrate)));
}

void require_placements(const Model& model) {
  std::vector<int> placed;
  double earlier = 0.0;
  for (const Placement& placement : model.timeline.placements) {
    if (!(placement.time >= earlier))
      refuse(fmt::format("increment {} is placed at {} s; must not be before {} s", placement.increment + 1,
                         placement.time, earlier));
    earlier = placement.time;
    placed.push_back(placement.increment);
  }
  std::sort(placed.begin(), placed.end());
  std::vector<int> meshed;
  for (const Region& region : model.mesh.regions)
    if (region.is_filling()) meshed.push_back(region.increment);
  std::sort(meshed.begin(), meshed.end());
  meshed.erase(std::unique(meshed.begin(), meshed.end()), meshed.end());
  if (placed != meshed)
    refuse(fmt::format("the plan places {} increments, the mesh has {}; each must be placed exactly once",
                       placed.size(), meshed.size()));
}

void require_timeline(const Model& model) {
  const Timeline& timeline = model.timeline;
  require_placements(model);
  const double last_placement = timeline.placements.empty() ? 0.0 : timeline.placements.back().time;
  if (!(timeline.end >= last_placement) || !std::isfinite(timeline.end))
    refuse(fmt::format("the timeline ends at {} s; must be finite and not before the last placement at {} s",
                       timeline.end, last_placement));
  for (const Exposure& exposure : timeline.exposures) {
    if (!(exposure.start >= 0.0) || !(exposure.duration > 0.0) || !(exposure.irradiance >= 0.0))
      refuse(fmt::format(
          "an exposure starts at {} s, lasts {} s at {} mW/cm2; must start at 0 s or later, last more "
          "than 0 s and not be negative",
          exposure.start, exposure.duration, exposure.irradiance));
    if (std::abs(exposure.direction.norm() - 1.0) > 1e-9)
      refuse(fmt::format("an exposure's direction has length {}; must be 1", exposure.direction.norm()));
    if (exposure.start + exposure.duration > timeline.end + 1e-9)
      refuse(fmt::format("an exposure ends at {} s, after the end of the timeline at {} s",
                         exposure.start + exposure.duration, timeline.end));
  }
}

/// Bites follow each other after the last light, each on a surface that is there.
void require_bites(const Model& model) {
  double before = 0.0;
  for (const Exposure& exposure : model.timeline.exposures)
    before = std::max(before, exposure.start + exposure.duration);
  for (const Placement& placement : model.timeline.placements) before = std::max(before, placement.time);
  for (const Bite& bite : model.timeline.bites) {
    if (!(bite.start >= before - 1e-9) || !(bite.end() <= model.timeline.end + 1e-9))
      refuse(
          fmt::format("a bite acts from {} s to {} s; must lie between {} s, when what comes before is over, "
                      "and the end of the timeline at {} s",
                      bite.start, bite.end(), before, model.timeline.end));
    if (!(bite.force > 0.0) || !(bite.radius > 0.0) || !(bite.ramp > 0.0) || !(bite.hold >= 0.0) ||
        !(bite.unload > 0.0) || !(bite.pause >= 0.0) || bite.cycles < 1 ||
        std::abs(bite.direction.norm() - 1.0) > 1e-9)
      refuse(fmt::format(
          "a bite of {} N on a patch of radius {} mm rises in {} s, is held {} s and falls in {} s, "
          "{} times with pauses of {} s; force, radius and times of rise and fall must be above 0, "
          "hold and pause not below, its direction of length 1",
          bite.force, bite.radius, bite.ramp, bite.hold, bite.unload, bite.cycles, bite.pause));
    contact_patch(model.mesh, bite);
    before = bite.end();
  }
}

void require_gap_fluid(const Model& model) {
  if (!model.gap_fluid) return;
  const GapFluid& fluid = *model.gap_fluid;
  for (const double conductance : fluid.conductance)
    if (!(conductance >= 0.0))
      refuse(fmt::format("a wall lets {} mm/(s MPa) of the fluid in gaps through; must not be below 0",
                         conductance));
  if (!(fluid.filled >= 0.0) || !(fluid.filled <= 1.0))
    refuse(fmt::format("fluid fills {} of gaps; must be from 0 to 1", fluid.filled));
  if (!(fluid.lowest_pressure <= 0.0))
    refuse(fmt::format("fluid in gaps has a lowest pressure of {} MPa; must be at most 0",
                       fluid.lowest_pressure));
}

/// How the six rigid motions move a point.
Eigen::Matrix<double, 3, 6> rigid_motions(const Eigen::Vector3d& x) {
  Eigen::Matrix<double, 3, 6> rigid;
  rigid << 1, 0, 0, 0, x.z(), -x.y(), 0, 1, 0, -x.z(), 0, x.x(), 0, 0, 1, x.y(), -x.x(), 0;
  return rigid;
}

}  // namespace

/// Held components, and springs where they act along their normal alone, must stop all rigid motion; a few
/// held nodes can miss that, so what is checked is the rank of the six rigid motions at them. Springs that
/// act across as well stop all of it.
void require_held(const Model& model) {
  std::vector<Eigen::Matrix<double, 1, 6>> stopped;
  for (const ElasticFoundation& foundation : model.foundations) {
    if (foundation.tangential > 0.0) return;
    for (const SixNodes& facet : surface_named(model.mesh, foundation.surface).facets)
      for (std::size_t corner = 0; corner < 3; ++corner)
        stopped.emplace_back(area_and_normal(model.mesh, facet).normal.transpose() *
                             rigid_motions(model.mesh.nodes[static_cast<std::size_t>(facet[corner])]));
  }
  const auto held = held_components(model);
  for (const HeldComponent& one : held)
    stopped.emplace_back(
        rigid_motions(model.mesh.nodes[static_cast<std::size_t>(one.node)]).row(one.component));
  Eigen::MatrixXd motions(static_cast<Eigen::Index>(stopped.size()), 6);
  for (std::size_t i = 0; i < stopped.size(); ++i) motions.row(static_cast<Eigen::Index>(i)) = stopped[i];
  const Eigen::Index rank = stopped.empty() ? 0 : (motions.transpose() * motions).fullPivLu().rank();
  if (rank < 6)
    refuse(fmt::format(
        "the supports stop {} of the 6 rigid motions of the body; hold more surfaces or components, or "
        "add an elastic foundation",
        rank));
}

void require_can_debond(const Model& model) {
  for (const BondFacet& facet : model.mesh.bond)
    if (facet.tooth == facet.filling)
      refuse("a tied bond cannot let go; choose mode intact, or give the bond a film");
  double strongest = 1;
  for (const auto& facet : model.strength_factors)
    for (const double factor : facet) strongest = std::max(strongest, factor);
  for (const auto& [wall, part] : bonds_by_wall(model))
    for (const Substrate substrate : part.second)
      require_bond_can_soften(part.first, model.adhesive, substrate, strongest);
}

void require_valid(const Model& model) {
  require_valid(model.mesh);
  require_materials(model);
  require_bond(model);
  require_timeline(model);
  require_bites(model);
  require_gap_fluid(model);
  for (const Pressure& load : model.pressures) surface_named(model.mesh, load.surface);
  for (const ElasticFoundation& foundation : model.foundations) {
    surface_named(model.mesh, foundation.surface);
    if (!(foundation.normal > 0.0) || !(foundation.tangential >= 0.0))
      refuse(
          fmt::format("the foundation under '{}' has {} and {} MPa/mm; the first must be above 0, the "
                      "second not below",
                      foundation.surface, foundation.normal, foundation.tangential));
  }
  for (const FreeStrain& entry : model.free_strains) {
    const auto& regions = model.mesh.regions;
    if (std::none_of(regions.begin(), regions.end(),
                     [&](const Region& r) { return r.name == entry.region && !r.is_filling(); }))
      refuse(fmt::format("a free strain is given to '{}', which is no tissue or fixture of this geometry",
                         entry.region));
  }
  require_held(model);
}

}  // namespace setstress
