#include "solver/bond/bond_tangent.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

namespace setstress {
namespace {

/// r and r_end as functions of the undamaged traction, with their gradients.
struct Demand {
  double r, r_end;
  Eigen::Vector3d r_gradient, r_end_gradient;
};

/// r^2 = pull . diag(1/S^2) . pull, r_end = 2 r^2/Q with Q = pull . diag(1/(k G)) . pull: both from one
/// quadratic form each.
Demand demand_with_gradients(const Eigen::Vector3d& pull, const BondProperties& p) {
  const Eigen::Vector3d capacity(p.tensile_strength, p.shear_strength, p.shear_strength);
  const Eigen::Vector3d energy(p.normal_stiffness * p.opening_energy, p.shear_stiffness * p.sliding_energy,
                               p.shear_stiffness * p.sliding_energy);
  const Eigen::Vector3d by_capacity = pull.cwiseQuotient(capacity.cwiseAbs2());
  const Eigen::Vector3d by_energy = pull.cwiseQuotient(energy);
  const double square = pull.dot(by_capacity), q = pull.dot(by_energy);
  Demand demand;
  demand.r = std::sqrt(square);
  demand.r_end = 2 * square / q;
  demand.r_gradient = by_capacity / demand.r;
  demand.r_end_gradient = 4 * (by_capacity - square / q * by_energy) / q;
  return demand;
}

}  // namespace

Eigen::Matrix3d softening_tangent(const BondState& after, const Eigen::Vector3d& stiffness, double follow) {
  const Eigen::Vector3d pull(std::max(after.would_be(0), 0.0), after.would_be(1), after.would_be(2));
  Eigen::Vector3d secant = Eigen::Vector3d::Constant(1 - after.damage);
  if (after.would_be(0) < 0.0) secant(0) = 1;
  Eigen::Matrix3d tangent = secant.asDiagonal();
  const bool at_an_end = after.damage >= 1 - residual_stiffness || pull.isZero();
  if (!at_an_end) {
    const Demand demand = demand_with_gradients(pull, after.frozen);
    const double way = demand.r_end - 1, lost = after.strength_lost;
    const double left = 1 + lost * way;  // D = 1 - (1 - lost)/left
    Eigen::Vector3d gradient = lost * (1 - lost) / (left * left) * demand.r_end_gradient;
    if (follow > 0.0) {  // lost = (1 - follow) (lost before the step) + follow (r - 1)/way
      const Eigen::Vector3d lost_gradient =
          follow / way * (demand.r_gradient - (demand.r - 1) / way * demand.r_end_gradient);
      gradient += demand.r_end / (left * left) * lost_gradient;
    }
    tangent -= pull * gradient.transpose();
  }
  return tangent * stiffness.asDiagonal();
}

Eigen::Matrix3d symmetric_part(const Eigen::Matrix3d& tangent) {
  return 0.5 * (tangent + tangent.transpose());
}

Eigen::Matrix3d stable_part(const Eigen::Matrix3d& tangent) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> eigen(symmetric_part(tangent));
  const double floor = residual_stiffness * eigen.eigenvalues().cwiseAbs().maxCoeff();
  return eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(floor).asDiagonal() *
         eigen.eigenvectors().transpose();
}

}  // namespace setstress
