#pragma once
// Method of manufactured solutions: displacement fields chosen first, the loads that belong to them derived,
// and the error of what the elements make of these loads.

#include <Eigen/Core>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::testing {

/// A plane wave of displacement u = amplitude sin(wave . x + phase) [mm] in an elastic solid.
struct ElasticWave {
  Eigen::Vector3d amplitude, wave;
  double phase;
  double youngs_modulus, poisson_ratio;

  [[nodiscard]] double shear_modulus() const { return youngs_modulus / (2 * (1 + poisson_ratio)); }
  [[nodiscard]] double lame() const {
    return youngs_modulus * poisson_ratio / ((1 + poisson_ratio) * (1 - 2 * poisson_ratio));
  }
  [[nodiscard]] Eigen::Vector3d displacement(const Eigen::Vector3d& x) const;
  [[nodiscard]] Eigen::Matrix3d strain(const Eigen::Vector3d& x) const;
  [[nodiscard]] Eigen::Matrix3d stress_of(const Eigen::Matrix3d& strain) const;
  /// -div(stress) [N/mm3]
  [[nodiscard]] Eigen::Vector3d body_force(const Eigen::Vector3d& x) const;
};

/// The waves by region of the mesh, and the springs of the bond [MPa/mm].
struct Manufactured {
  std::vector<ElasticWave> by_region;
  double normal_stiffness = 0, shear_stiffness = 0;
};

struct ManufacturedError {
  double size;          ///< of an element: cube root of the mean volume [mm]
  double displacement;  ///< L2 norm of the error over that of the solution [-]
  double energy;        ///< energy norm, of the bond as well, likewise [-]
  int unknowns;
};

/// Solves on `mesh`, all outer nodes held at the exact displacement, and compares.
ManufacturedError solve_manufactured(const Mesh& mesh, const Manufactured& problem);

/// Order of convergence: slope of a straight line through log(error) over log(size).
double observed_order(const std::vector<double>& size, const std::vector<double>& error);

}  // namespace setstress::testing
