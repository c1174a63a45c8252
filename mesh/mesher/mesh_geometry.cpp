#include "mesh/mesher/mesh_geometry.hpp"

#include "mesh/mesher/conforming_solids.hpp"
#include "mesh/mesher/gmsh_session.hpp"
#include "mesh/mesher/mesh_blueprint.hpp"
#include "mesh/specimens/specimens.hpp"
#include "mesh/tooth/tooth.hpp"

namespace setstress {
namespace {

Blueprint blueprint_of(const Geometry& geometry) {
  if (const auto* specimen = std::get_if<Specimen>(&geometry)) return specimen_blueprint(*specimen);
  return tooth_blueprint(std::get<ToothCase>(geometry));
}

Blueprint build_solids(const GmshSession& session, const Geometry& geometry) {
  Blueprint blueprint;
  session.attempt("build the solids", [&] { blueprint = blueprint_of(geometry); });
  return blueprint;
}

}  // namespace

namespace mesher {

void check_dimensions(const Geometry& geometry) {
  if (const auto* specimen = std::get_if<Specimen>(&geometry))
    check_specimen(*specimen);
  else
    check_tooth_case(std::get<ToothCase>(geometry));
}

void check(const Geometry& geometry) {
  check_dimensions(geometry);
  const GmshSession session;
  const Blueprint blueprint = build_solids(session, geometry);
  if (!blueprint.layout.empty()) session.attempt("cut the increments", [&] { check_layout(blueprint); });
}

Mesh build_mesh(const Geometry& geometry, const MeshSize& size, const BeforeMeshing& before) {
  check_dimensions(geometry);
  const GmshSession session;
  const Blueprint blueprint = build_solids(session, geometry);
  return mesh_blueprint(session, blueprint, size, before);
}

}  // namespace mesher

}  // namespace setstress
