#pragma once
// Private to viz/: the outside of tooth and filling.

#include "viz/files/result_reader.hpp"

namespace setstress::viz {

struct BodySurface {
  std::vector<std::array<int, 3>> triangles;  ///< corner nodes; normals point outwards
  std::vector<std::array<int, 2>> edges;      ///< where regions end, or the surface turns sharply
};

/// Faces that belong to one tetrahedron only, tooth and filling apart where a film lies between them.
BodySurface surface_of(const VolumeCells& volume);

}  // namespace setstress::viz
