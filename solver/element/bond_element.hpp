#pragma once
// The zero-thickness facet of the bond: from nodal displacements to the displacement jump, and back to nodal
// forces.

#include <Eigen/Core>
#include <array>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

using Matrix36d = Eigen::Matrix<double, 36, 36>;

/// Shape functions of the six-node triangle at barycentric coordinates.
Eigen::Matrix<double, 6, 1> triangle_shapes(const std::array<double, 3>& barycentric);

/// What never changes of a facet.
struct FacetGeometry {
  Eigen::Matrix3d to_local;  ///< rows: normal (tooth to filling), first and second tangent
  double area;               ///< [mm2]
};
FacetGeometry geometry_of(const Mesh& mesh, const SixNodes& facet);

/// Jump u_filling - u_tooth [mm] at a facet point, in the facet's frame, from a global vector of 3 per node.
Eigen::Vector3d jump(const BondFacet& facet, const FacetGeometry& geometry, int point,
                     const Eigen::VectorXd& displacement);

/// Stiffness [N/mm] in the order tooth nodes 0-5, filling nodes 0-5, from the tangents [MPa/mm] (facet frame)
/// at the six points.
Matrix36d stiffness(const FacetGeometry& geometry, const std::array<Eigen::Matrix3d, 6>& tangents);

/// Nodal forces [N] on the filling side (3 x 6; the tooth side gets the opposite) from the tractions [MPa]
/// (facet frame) at the six points.
Eigen::Matrix<double, 3, 6> nodal_forces(const FacetGeometry& geometry,
                                         const std::array<Eigen::Vector3d, 6>& tractions);

}  // namespace setstress
