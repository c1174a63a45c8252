// The mesher as a library that a program opens while it runs (mesh/geometry/mesher.hpp).

#include "mesh/geometry/mesher.hpp"
#include "mesh/mesher/mesh_geometry.hpp"

extern "C" [[gnu::visibility("default")]] const setstress::Mesher* setstress_mesher() {
  static constexpr setstress::Mesher functions{.check_dimensions = setstress::mesher::check_dimensions,
                                               .check = setstress::mesher::check,
                                               .build_mesh = setstress::mesher::build_mesh,
                                               .prepared_surface = setstress::mesher::prepared_surface};
  return &functions;
}
