#pragma once
// Derivative of the bond law, for Newton's method.

#include <Eigen/Core>

#include "solver/bond/bond_law.hpp"

namespace setstress {

/// d(traction)/d(jump) [MPa/mm] of a softening point at the end of a step, exact and therefore not symmetric
/// where demand grows. `stiffness` is that of the undamaged film (normal, shear, shear); `follow` the share
/// of the demand's growth that drove the loss of strength (0: unloading).
Eigen::Matrix3d softening_tangent(const BondState& after, const Eigen::Vector3d& stiffness, double follow);

/// The part of a tangent that conjugate gradients can use: its symmetric part.
Eigen::Matrix3d symmetric_part(const Eigen::Matrix3d& tangent);
/// The nearest symmetric matrix without negative stiffness: slower to converge, but never outruns the body.
Eigen::Matrix3d stable_part(const Eigen::Matrix3d& tangent);

}  // namespace setstress
