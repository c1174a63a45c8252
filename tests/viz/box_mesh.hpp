#pragma once
// A proximal box in a block on a regular grid, small and exact: what the tests of viz/ write and draw.

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"
#include "viz/files/vtk_files.hpp"

namespace setstress {

/// Block 4 x 6 x 4 mm (x from 0, y and z centred, z from -2) with a box open at x = 0 and occlusally: 2 deep
/// along x, 4 wide, floor at z = -1, hence bond areas floor 8, axial 12, buccal 6, lingual 6 mm2. Increment 1
/// lies below z = 0. Cubes of 1 mm, six tetrahedra each.
Mesh box_mesh();

/// Everything placed, nothing loaded, sizes matching the mesh.
Frame blank_frame(const Mesh& mesh);

FileLabels box_labels(const Mesh& mesh);

}  // namespace setstress
