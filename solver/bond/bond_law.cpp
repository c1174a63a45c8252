#include "solver/bond/bond_law.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solver/bond/bond_tangent.hpp"

namespace setstress {
namespace {

Eigen::Vector3d stiffness_of(const BondProperties& p) {
  return {p.normal_stiffness, p.shear_stiffness, p.shear_stiffness};
}

/// Opening and shear part of a traction: what damage acts on. Compression stays with the closed crack.
Eigen::Vector3d damageable(const Eigen::Vector3d& traction) {
  return {std::max(traction(0), 0.0), traction(1), traction(2)};
}

/// D at a share of the strength lost, for a direction that ends at r_end: the secant to the softening line.
double damage_at(double lost, double r_end) {
  return std::min(1.0 - (1.0 - lost) / (1.0 + lost * (r_end - 1.0)), 1.0 - residual_stiffness);
}

Eigen::Vector3d damaged(const Eigen::Vector3d& would_be, double damage) {
  return would_be - damage * damageable(would_be);
}

double elastic_energy(const BondState& state, const Eigen::Vector3d& stiffness) {
  return 0.5 * state.traction.dot(state.would_be.cwiseQuotient(stiffness));
}

/// Lets the loss of strength follow the demand and returns the share of the demand's growth that drives it
/// (0: unloading). What is lost is kept as a share of the way to the end, so that it carries over from one
/// direction of pull to another without a jump.
double grow_damage(BondState& state, const BondStep& step) {
  const double r = demand(state.would_be, state.frozen.tensile_strength, state.frozen.shear_strength);
  if (r < 1e-9) return 0.0;  // pressed together: nothing that damage acts on, and no direction
  const double r_end = end_of_softening(state.would_be, state.frozen);
  const double way = r_end - 1.0;
  state.end_of_softening = r_end;
  state.instantly_lost = std::max(state.instantly_lost, std::min((r - 1.0) / way, 1.0));
  state.driver = 1.0 + state.strength_lost * way;
  double follow = 0.0;
  if (r > state.driver && state.strength_lost < 1.0) {
    follow = step.viscous_time > 0.0 ? step.duration / (step.viscous_time + step.duration) : 1.0;
    state.driver += follow * (r - state.driver);
    state.strength_lost = std::min((state.driver - 1.0) / way, 1.0);
  }
  state.damage = damage_at(state.strength_lost, r_end);
  return follow;
}

}  // namespace

double demand(double normal, double shear, double tensile_strength, double shear_strength) {
  return std::hypot(std::max(normal, 0.0) / tensile_strength, shear / shear_strength);
}

double demand(const Eigen::Vector3d& traction, double tensile_strength, double shear_strength) {
  return demand(traction(0), traction.tail<2>().norm(), tensile_strength, shear_strength);
}

double end_of_softening(const Eigen::Vector3d& would_be, const BondProperties& p) {
  const Eigen::Vector3d pull = damageable(would_be);
  const double r = demand(pull, p.tensile_strength, p.shear_strength);
  const double opening = pull(0) * pull(0) / p.normal_stiffness;
  const double sliding = pull.tail<2>().squaredNorm() / p.shear_stiffness;
  const double at_onset = 0.5 * (opening + sliding) / (r * r);  // elastic energy at r = 1 in this direction
  const double share = opening / (opening + sliding);
  const double fracture = 1.0 / (share / p.opening_energy + (1.0 - share) / p.sliding_energy);
  const double r_end = fracture / at_onset;
  if (!(r_end > 1.0))
    throw std::runtime_error(
        fmt::format("the bond's fracture energy is {:.3g} N/mm; must be above {:.3g} N/mm, the elastic "
                    "energy of its film at the "
                    "strength (tensile {:.3g} MPa, shear {:.3g} MPa)",
                    fracture, at_onset, p.tensile_strength, p.shear_strength));
  return r_end;
}

BondResponse respond(const BondState& before, const BondStep& step) {
  BondState state = before;
  const Eigen::Vector3d stiffness = state.softening
                                        ? stiffness_of(state.frozen)
                                        : 0.5 * (stiffness_of(step.before) + stiffness_of(step.now));
  state.would_be += stiffness.cwiseProduct(step.jump);

  double follow = 0.0;
  if (step.may_soften) {
    if (!state.softening &&
        demand(state.would_be, step.now.tensile_strength, step.now.shear_strength) >= 1.0) {
      state.softening = true;
      state.frozen = step.now;
    }
    if (state.softening) follow = grow_damage(state, step);
  }
  state.traction = damaged(state.would_be, state.damage);

  if (state.softening) return {state, softening_tangent(state, stiffness, follow)};
  return {state, stiffness.asDiagonal()};
}

BondEnergies energy_of_step(const BondState& before, const BondState& after, const BondStep& step) {
  const Eigen::Vector3d old_stiffness = stiffness_of(before.softening ? before.frozen : step.before);
  const Eigen::Vector3d new_stiffness = stiffness_of(after.softening ? after.frozen : step.now);
  const double work = 0.5 * (before.traction + after.traction).dot(step.jump);
  BondEnergies energies;
  energies.elastic = elastic_energy(after, new_stiffness);
  const double spent = work - (energies.elastic - elastic_energy(before, old_stiffness));
  if (!after.softening) {
    energies.set_in = spent;
    return energies;
  }
  const double instant_damage = damage_at(after.instantly_lost, after.end_of_softening);
  const double excess = std::max(instant_damage - after.damage, 0.0);  // what rate dependence still holds up
  energies.viscous = excess * damageable(after.would_be).dot(step.jump);
  energies.fracture = spent - energies.viscous;
  return energies;
}

}  // namespace setstress
