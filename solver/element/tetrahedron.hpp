#pragma once
// The straight-sided ten-node tetrahedron: strains, nodal forces, stiffness. Four stress points, which
// integrate the stiffness of an affine element exactly when the modulus is one per point.

#include <Eigen/Core>
#include <array>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

using Matrix6d = Eigen::Matrix<double, 6, 6>;
using Matrix30d = Eigen::Matrix<double, 30, 30>;
using Vector30d = Eigen::Matrix<double, 30, 1>;
using ShapeGradients = Eigen::Matrix<double, 3, 10>;  ///< column i: gradient of shape function i [1/mm]

/// What never changes of an affine tetrahedron.
struct TetrahedronGeometry {
  Eigen::Matrix<double, 3, 4> barycentric_gradients;  ///< [1/mm]
  double volume;                                      ///< [mm3]
};
/// Throws std::runtime_error if the volume is not positive.
TetrahedronGeometry geometry_of(const Mesh& mesh, const Tetrahedron& tetrahedron);

/// Barycentric coordinates of stress point `point` in 0..3; each carries a quarter of the volume.
Eigen::Vector4d stress_point(int point);

/// Values of the ten shape functions at barycentric coordinates.
Eigen::Matrix<double, 10, 1> shape_values(const Eigen::Vector4d& barycentric);

ShapeGradients shape_gradients(const TetrahedronGeometry& geometry, const Eigen::Vector4d& barycentric);

/// Strain [-] in Voigt order from nodal displacements (3 x 10) [mm].
Vector6d strain(const ShapeGradients& gradients, const Eigen::Matrix<double, 3, 10>& displacement);

/// Isotropic elasticity: stress [MPa] for a strain, and strain for a stress. E [MPa], nu [-].
Vector6d elastic_stress(double youngs_modulus, double poisson_ratio, const Vector6d& strain);
Vector6d elastic_strain(double youngs_modulus, double poisson_ratio, const Vector6d& stress);

/// Stiffness [N/mm], node-wise 3 x 3 blocks in node order, for one modulus [MPa] per stress point and one nu.
Matrix30d stiffness(const TetrahedronGeometry& geometry, const std::array<double, 4>& youngs_modulus,
                    double poisson_ratio);
/// The same for one shear and one bulk modulus [MPa] per stress point, and one that acts on the element's
/// mean change of volume.
Matrix30d stiffness(const TetrahedronGeometry& geometry, const std::array<double, 4>& shear_modulus,
                    const std::array<double, 4>& bulk_modulus, double bulk_modulus_of_mean);

/// Nodal forces [N] (3 x 10) that balance stresses [MPa] at the four stress points.
Eigen::Matrix<double, 3, 10> nodal_forces(const TetrahedronGeometry& geometry,
                                          const std::array<Vector6d, 4>& stress);

/// Displacements (3 x 10) of the tetrahedron's nodes, gathered from a global vector of 3 per node.
Eigen::Matrix<double, 3, 10> gather(const Tetrahedron& tetrahedron, const Eigen::VectorXd& global);

}  // namespace setstress
