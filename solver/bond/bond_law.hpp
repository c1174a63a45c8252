#pragma once
// Traction of the maturing bond at one point, intact or letting go.
//
// Until it starts to soften, the bond is hypoelastic: d(traction) = k(t) d(jump) with today's stiffness. It
// starts to soften when (<tn>/Sn)^2 + (|tt|/St)^2 reaches 1 with today's strengths; from then on stiffness,
// strength and fracture energy are frozen at that instant (a broken bond does not go on maturing). With
// `would_be` the traction that an undamaged film would carry and r its demand over the frozen capacity, the
// traction is (1 - D) would_be with D = 1 - (r_end - r)/(r (r_end - 1)): linear softening from r = 1 to r_end
// = 2 G / (would_be . k^-1 would_be / r^2), so that a pull in any fixed direction dissipates exactly G, the
// fracture energy mixed by shares of elastic energy, 1/G = share_I/G_I + share_II/G_II. The largest r so far
// counts: damage never heals. A closed crack carries its full compression; friction is left out.
//
// Debonding under shrinkage snaps: the damage-driving r follows the true one with a time constant, and the
// work that this costs is reported as viscous.

#include <Eigen/Core>

namespace setstress {

/// Today's stiffness [MPa/mm], strength [MPa] and fracture energy [N/mm] of the bond at one point.
struct BondProperties {
  double normal_stiffness, shear_stiffness;
  double tensile_strength, shear_strength;
  double opening_energy, sliding_energy;
};

/// History of one point. Vectors in the facet's frame: normal, first tangent, second tangent.
struct BondState {
  Eigen::Vector3d would_be = Eigen::Vector3d::Zero();  ///< traction of the undamaged film [MPa]
  Eigen::Vector3d traction = Eigen::Vector3d::Zero();  ///< [MPa]
  bool softening = false;
  BondProperties frozen{};        ///< at the onset of softening
  double end_of_softening = 1.0;  ///< r_end for the present direction of pull [-]
  double driver = 1.0;            ///< r that damage follows: lags the true one by the viscous time [-]
  double damage = 0.0;            ///< D for the present direction [-], loss of secant stiffness
  double instantly_lost = 0.0;    ///< strength_lost if the law were rate-independent [-]
  double strength_lost = 0.0;     ///< (driver - 1)/(r_end - 1), in [0, 1] [-]
};

struct BondEnergies {
  double elastic = 0;   ///< recoverable, at the end of the step [N/mm]
  double set_in = 0;    ///< spent in this step because the film stiffened under load [N/mm]
  double fracture = 0;  ///< dissipated in this step by the rate-independent law [N/mm]
  double viscous = 0;   ///< dissipated in this step by the regularisation [N/mm]
};

struct BondResponse {
  BondState state;
  Eigen::Matrix3d tangent;  ///< d(traction)/d(jump) [MPa/mm]; not symmetric while softening
};

struct BondStep {
  Eigen::Vector3d jump;        ///< increment of the displacement jump, facet frame [mm]
  BondProperties before, now;  ///< properties at both ends of the step
  double duration;             ///< [s]
  double viscous_time;         ///< [s]; 0: rate-independent
  bool may_soften;             ///< false in an intact run
};

/// Traction and tangent at the end of a step.
BondResponse respond(const BondState& state, const BondStep& step);

/// Where the work traction . d(jump) of a converged step went (trapezoidal rule, as in the energy balance).
BondEnergies energy_of_step(const BondState& before, const BondState& after, const BondStep& step);

/// Demand over capacity sqrt((<tn>/Sn)^2 + (|tt|/St)^2) [-] of a traction in the facet frame.
double demand(const Eigen::Vector3d& traction, double tensile_strength, double shear_strength);
/// The same from its normal component and the magnitude of its shear.
double demand(double normal, double shear, double tensile_strength, double shear_strength);

/// r at which nothing is left, for the direction of `would_be`. Throws std::runtime_error if the fracture
/// energy is not above the elastic energy at the onset (the point would snap back).
double end_of_softening(const Eigen::Vector3d& would_be, const BondProperties& frozen);

/// Stiffness that a fully debonded film keeps, as a share of the intact one: keeps a loose filling solvable.
inline constexpr double residual_stiffness = 1e-6;

}  // namespace setstress
