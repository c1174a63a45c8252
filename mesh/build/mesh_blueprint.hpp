#pragma once
// From a blueprint to a mesh. Internal to mesh/.

#include "mesh/build/gmsh_session.hpp"
#include "mesh/build/mesh_size.hpp"
#include "mesh/geometry/blueprint.hpp"

namespace setstress {

/// Cuts, meshes, names and duplicates; the result satisfies require_valid(). Throws GeometryError for a
/// layout that does not cut the filling, std::runtime_error when Gmsh fails.
Mesh mesh_blueprint(const GmshSession& session, const Blueprint& blueprint, const MeshSize& size);

}  // namespace setstress
