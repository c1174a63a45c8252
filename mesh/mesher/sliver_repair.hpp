#pragma once
// Moves nodes of poor tetrahedra to better places. Internal to mesh/.

#include "mesh/mesher/linear_mesh.hpp"

namespace setstress {

/// Three times inradius over circumradius [-]: 1 for the regular tetrahedron, 0 for a flat one, negative for
/// an inverted one.
double radius_ratio(const Eigen::Vector3d& a, const Eigen::Vector3d& b, const Eigen::Vector3d& c,
                    const Eigen::Vector3d& d);

/// Improves the tetrahedra whose radius ratio is below `wanted` by a direct search for each of their nodes in
/// turn, within what `LinearMesh::mobility` allows; no tetrahedron that shares the node may end up worse than
/// the worst was.
void repair_slivers(LinearMesh& mesh, double wanted);

}  // namespace setstress
