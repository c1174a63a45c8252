#pragma once
// What the library of the mesher offers. Internal to mesh/: others call build_mesh.hpp.

#include <cstddef>

#include "mesh/geometry/geometry.hpp"
#include "mesh/geometry/mesh_estimate.hpp"
#include "mesh/geometry/mesh_size.hpp"
#include "mesh/geometry/prepared_surface.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// The functions of build_mesh.hpp, as they are in the library, and what tells a library of another build.
struct Mesher {
  const char* version = SETSTRESS_MESHER_OF;
  std::size_t bytes = sizeof(Geometry) + sizeof(Mesh) + sizeof(MeshSize) + sizeof(PreparedSurface);
  void (*check_dimensions)(const Geometry&) = nullptr;
  void (*check)(const Geometry&) = nullptr;
  Mesh (*build_mesh)(const Geometry&, const MeshSize&, const BeforeMeshing&) = nullptr;
  PreparedSurface (*prepared_surface)(const ToothCase&) = nullptr;
};

}  // namespace setstress

extern "C" const setstress::Mesher* setstress_mesher();
