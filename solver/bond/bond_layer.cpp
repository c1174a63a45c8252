#include "solver/bond/bond_layer.hpp"

#include <algorithm>

namespace setstress {
namespace {

std::size_t index_of(Substrate substrate) {
  return static_cast<std::size_t>(substrate);
}

/// What today's strengths make of the tractions of a point.
void judge(BondPoint& point, const BondProperties& today, double maturity) {
  point.tensile_strength = today.tensile_strength;
  point.shear_strength = today.shear_strength;
  point.ratio = demand(point.normal, point.shear, today.tensile_strength, today.shear_strength);
  point.maturity = maturity;
}

}  // namespace

BondToday bond_at(const WallBond& bond, const Adhesive& adhesive, double time) {
  BondToday today{};
  for (const auto& [substrate, strength] : bond.strength) {
    const double strong = adhesive.strength_maturity.at(substrate)(time);
    const double stiff = adhesive.stiffness_maturity.at(substrate)(time);
    today[index_of(substrate)] = {.normal_stiffness = stiff * bond.normal_stiffness,
                                  .shear_stiffness = stiff * bond.shear_stiffness,
                                  .tensile_strength = strong * strength.tensile,
                                  .shear_strength = strong * strength.shear,
                                  .opening_energy = strong * strength.fracture_energy_opening,
                                  .sliding_energy = strong * strength.fracture_energy_sliding};
  }
  return today;
}

WholeBondToday::WholeBondToday(const Model& model, double time) : model_(model) {
  for (const std::string& wall : model.mesh.walls) {
    const auto own = model.wall_bonds.find(wall);
    by_wall_.push_back(bond_at(own == model.wall_bonds.end() ? wall_bond(model.adhesive) : own->second,
                               model.adhesive, time));
  }
}

BondProperties WholeBondToday::at(std::size_t facet, std::size_t point) const {
  const auto wall = static_cast<std::size_t>(model_.mesh.bond[facet].wall);
  BondProperties today = by_wall_[wall][index_of(model_.substrates[facet])];
  if (model_.strength_factors.empty()) return today;
  const double factor = model_.strength_factors[facet][point];
  for (double* value :
       {&today.tensile_strength, &today.shear_strength, &today.opening_energy, &today.sliding_energy})
    *value *= factor;
  return today;
}

BondLayer::BondLayer(const Model& model) : model_(model) {
  for (std::size_t i = 0; i < model.mesh.bond.size(); ++i) {
    const BondFacet& facet = model.mesh.bond[i];
    if (facet.tooth == facet.filling) continue;
    facets_.push_back(static_cast<int>(i));
    geometry_.push_back(geometry_of(model.mesh, facet.tooth));
  }
  active_.assign(facets_.size(), 0);
  states_.resize(facets_.size());
  jump_since_placement_.resize(facets_.size());
  for (auto& facet : jump_since_placement_) facet.fill(Eigen::Vector3d::Zero());
}

void BondLayer::place(const std::vector<char>& placed) {
  for (std::size_t i = 0; i < facets_.size(); ++i) {
    const BondFacet& facet = model_.mesh.bond[static_cast<std::size_t>(facets_[i])];
    const int region = model_.mesh.tetrahedra[static_cast<std::size_t>(facet.filling_tetrahedron)].region;
    active_[i] = placed[static_cast<std::size_t>(region)];
  }
}

BondStep BondLayer::step_at(std::size_t facet, int point, const Eigen::VectorXd& displacement_step,
                            const WholeBondToday& before, const WholeBondToday& now,
                            const BondStepTimes& times) const {
  const auto in_mesh = static_cast<std::size_t>(facets_[facet]);
  return {.jump = jump(model_.mesh.bond[in_mesh], geometry_[facet], point, displacement_step),
          .before = before.at(in_mesh, static_cast<std::size_t>(point)),
          .now = now.at(in_mesh, static_cast<std::size_t>(point)),
          .duration = times.now - times.before,
          .viscous_time = times.viscous_time,
          .may_soften = times.may_soften};
}

BondTrial BondLayer::respond(const Eigen::VectorXd& displacement_step, const BondStepTimes& times) const {
  const WholeBondToday before(model_, times.before), now(model_, times.now);
  BondTrial trial;
  trial.states = states_;
  trial.tangents.resize(facets_.size());
  trial.filling_forces.assign(facets_.size(), Eigen::Matrix<double, 3, 6>::Zero());
  double softening = 0.0;
  bool softens = false;
#pragma omp parallel for schedule(static) reduction(max : softening) reduction(|| : softens)
  for (std::size_t i = 0; i < facets_.size(); ++i) {
    if (!is_active(i)) continue;
    std::array<Eigen::Vector3d, 6> tractions;
    for (std::size_t p = 0; p < 6; ++p) {
      const BondStep step = step_at(i, static_cast<int>(p), displacement_step, before, now, times);
      const auto [state, tangent] = setstress::respond(states_[i][p], step);
      softening = std::max(softening, state.strength_lost - states_[i][p].strength_lost);
      softens = softens || state.softening;
      trial.states[i][p] = state;
      trial.tangents[i][p] = tangent;
      tractions[p] = state.traction;
    }
    trial.filling_forces[i] = nodal_forces(geometry_[i], tractions);
  }
  trial.largest_softening = softening;
  trial.softens = softens;
  return trial;
}

BondEnergies BondLayer::commit(BondTrial trial, const Eigen::VectorXd& displacement_step,
                               const BondStepTimes& times) {
  const WholeBondToday before(model_, times.before), now(model_, times.now);
  BondEnergies sum;
  for (std::size_t i = 0; i < facets_.size(); ++i) {
    if (!is_active(i)) continue;
    for (std::size_t p = 0; p < 6; ++p) {
      const BondStep step = step_at(i, static_cast<int>(p), displacement_step, before, now, times);
      const BondEnergies at_point = energy_of_step(states_[i][p], trial.states[i][p], step);
      const double area = facet_points()[p].weight * geometry_[i].area;
      sum.elastic += area * at_point.elastic;
      sum.set_in += area * at_point.set_in;
      sum.fracture += area * at_point.fracture;
      sum.viscous += area * at_point.viscous;
      jump_since_placement_[i][p] += step.jump;
    }
  }
  states_ = std::move(trial.states);
  return sum;
}

BondPoint bond_point(const Eigen::Vector3d& traction, const FacetGeometry& geometry,
                     const BondProperties& today, double maturity) {
  BondPoint point{.traction = geometry.to_local.transpose() * traction,
                  .normal = traction(0),
                  .shear = traction.tail<2>().norm(),
                  .active = true};
  judge(point, today, maturity);
  return point;
}

void judge(const Model& model, double time, std::vector<std::array<BondPoint, 6>>& bond) {
  const WholeBondToday today(model, time);
  for (std::size_t facet = 0; facet < bond.size(); ++facet) {
    const Substrate substrate = model.substrates[facet];
    const double maturity = model.adhesive.strength_maturity.at(substrate)(time);
    for (std::size_t p = 0; p < 6; ++p)
      if (BondPoint& point = bond[facet][p]; point.active) judge(point, today.at(facet, p), maturity);
  }
}

std::vector<std::array<BondPoint, 6>> BondLayer::points(double time) const {
  const WholeBondToday today(model_, time);
  std::vector<std::array<BondPoint, 6>> points(model_.mesh.bond.size());
  for (std::size_t i = 0; i < facets_.size(); ++i) {
    if (!is_active(i)) continue;
    const auto in_mesh = static_cast<std::size_t>(facets_[i]);
    const double maturity = model_.adhesive.strength_maturity.at(model_.substrates[in_mesh])(time);
    for (std::size_t p = 0; p < 6; ++p) {
      const BondState& state = states_[i][p];
      BondPoint& point = points[in_mesh][p];
      point = bond_point(state.traction, geometry_[i], today.at(in_mesh, p), maturity);
      if (state.softening) {  // its strength was reached, whatever little it still carries
        point.ratio =
            std::max(1.0, demand(state.traction, state.frozen.tensile_strength, state.frozen.shear_strength));
        point.strength_lost = state.strength_lost;
      }
      point.opening = jump_since_placement_[i][p](0);
      point.slip = jump_since_placement_[i][p].tail<2>().norm();
    }
  }
  return points;
}

}  // namespace setstress
