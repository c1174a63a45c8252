#pragma once
// Which nodes the coarse level of the two-level solver keeps, and from which the others get its correction.

#include <array>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// For NodeGraph::parents. The coarse level keeps corners, and edge nodes of the flattest tetrahedra: these
/// hang together so firmly across the thickness that sweeps node by node hardly move them against each other,
/// and between corners they have no way to give. In a tooth such elements fill the taper of the enamel. No
/// more are kept than a factor is worth.
std::vector<std::array<int, 2>> coarse_parents(const Mesh& mesh);

}  // namespace setstress
