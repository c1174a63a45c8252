#pragma once
// From conforming solids to four-node tetrahedra. Internal to mesh/.

#include <array>
#include <vector>

#include "mesh/geometry/mesh_estimate.hpp"
#include "mesh/mesher/conforming_solids.hpp"

namespace setstress {

/// Corner nodes and tetrahedra of positive volume, with the region of each.
struct LinearMesh {
  std::vector<Eigen::Vector3d> nodes;
  std::vector<std::array<int, 4>> tetrahedra;
  std::vector<int> region;  ///< one per tetrahedron
  /// Where each node may move without changing the solid: the projection onto its flat face or straight edge,
  /// the identity inside, zero elsewhere.
  std::vector<Eigen::Matrix3d> mobility;
};

/// Volumes and area of the bond, by OpenCASCADE.
SolidSizes sizes_of(const ConformingSolids& solids);

/// Meshes the solids by Delaunay refinement and optimises. Sizes [mm] grow from `size.bond` at the faces
/// between filling and the rest to `size.filling` inside the filling and `size.far` elsewhere.
LinearMesh mesh_solids(const ConformingSolids& solids, const MeshSize& size);

}  // namespace setstress
