#pragma once
// Straight rays through the mesh: how far light travels in each material.

#include <Eigen/Core>
#include <vector>

#include "mesh/tetrahedra/measures.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// Walks straight rays from tetrahedron to tetrahedron. Keeps the mesh's neighbour table for many rays; the
/// mesh must outlive it. Safe to use from several threads at once.
class RayWalker {
 public:
  explicit RayWalker(const Mesh& mesh) : mesh_(mesh), neighbours_(face_neighbours(mesh)) {}

  /// Length [mm] of the ray in each region (by index into Mesh::regions), from `origin` [mm] in `tetrahedron`
  /// along `direction` (unit vector) to where it first leaves the body; the bond is crossed. Rays that run
  /// into edges or corners and stop advancing are started again from a point moved aside by a millionth of
  /// the element. Throws std::invalid_argument for an origin outside `tetrahedron` or a direction that is not
  /// of unit length, and std::runtime_error, with the place, where the walk does not end.
  [[nodiscard]] std::vector<double> path_lengths(int tetrahedron, const Eigen::Vector3d& origin,
                                                 const Eigen::Vector3d& direction) const;

 private:
  const Mesh& mesh_;
  std::vector<FaceNeighbours> neighbours_;
};

}  // namespace setstress
