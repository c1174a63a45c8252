#pragma once
// Numbers nodes and tetrahedra along a space-filling curve, so that neighbours in space are neighbours in
// memory. Internal to mesh/.

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// The same mesh with its nodes and tetrahedra in the order of a Z-order curve (Morton 1966) through the
/// bounding box.
Mesh renumber_for_locality(const Mesh& mesh);

}  // namespace setstress
