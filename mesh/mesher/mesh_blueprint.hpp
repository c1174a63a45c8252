#pragma once
// From a blueprint to a mesh. Internal to mesh/.

#include "mesh/geometry/blueprint.hpp"
#include "mesh/geometry/mesh_estimate.hpp"
#include "mesh/mesher/gmsh_session.hpp"

namespace setstress {

/// Cuts, lets `before` see the solids, meshes, names and duplicates; the result satisfies require_valid().
/// Throws GeometryError for a layout that does not cut the filling, std::runtime_error when Gmsh fails.
Mesh mesh_blueprint(const GmshSession& session, const Blueprint& blueprint, const MeshSize& size,
                    const BeforeMeshing& before);

}  // namespace setstress
