#pragma once
// From a geometry to a mesh, by the mesher, a library that is opened at the first call. Besides what they
// say, all throw std::runtime_error where it cannot be opened.

#include <string>

#include "mesh/geometry/geometry.hpp"
#include "mesh/geometry/mesh_estimate.hpp"
#include "mesh/geometry/mesh_size.hpp"
#include "mesh/geometry/prepared_surface.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// Opens the library now: a copy of this process need not do so again.
void load_mesher();

/// Refuses what cannot be built, with the parameter's key, value and what would be allowed. Fast: no
/// meshing. Throws GeometryError.
void check(const Geometry& geometry);

/// The part of check() that needs no solid: dimensions that cannot be. Throws GeometryError.
void check_dimensions(const Geometry& geometry);

/// Builds the solid with OpenCASCADE, names every volume and face from geometry, meshes by Delaunay
/// refinement, optimises, raises to second order straight-sided and duplicates the bond's nodes.
/// `before` sees the solids first. Deterministic. Throws GeometryError, MeshingError when Gmsh fails, or
/// what `before` throws.
Mesh build_mesh(const Geometry& geometry, const MeshSize& size, const BeforeMeshing& before = {});

/// The tooth as it is prepared, to be looked at. Throws as build_mesh().
PreparedSurface prepared_surface(const ToothCase& tooth_case);

}  // namespace setstress
