#pragma once
// What build_mesh.hpp promises, done. Internal to mesh/.

#include "mesh/geometry/geometry.hpp"
#include "mesh/geometry/mesh_estimate.hpp"
#include "mesh/geometry/mesh_size.hpp"
#include "mesh/geometry/prepared_surface.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::mesher {

void check_dimensions(const Geometry& geometry);
void check(const Geometry& geometry);
Mesh build_mesh(const Geometry& geometry, const MeshSize& size, const BeforeMeshing& before);
PreparedSurface prepared_surface(const ToothCase& tooth_case);

}  // namespace setstress::mesher
