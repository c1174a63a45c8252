#include "mesh/geometry.hpp"
#include "mesh/specimens.hpp"

namespace setstress {

void check(const Geometry& geometry) {
  if (const auto* specimen = std::get_if<Specimen>(&geometry)) check_specimen(*specimen);
}

Mesh build_mesh(const Geometry& geometry, const MeshSize& size) {
  check(geometry);
  const GmshSession session;
  Blueprint blueprint;
  session.attempt("build the solids", [&] { blueprint = specimen_blueprint(std::get<Specimen>(geometry)); });
  return mesh_blueprint(session, blueprint, size);
}

}  // namespace setstress
