#pragma once
// Straight rays through the mesh: how far light travels in each material.

#include <Eigen/Core>
#include <vector>

#include "mesh/tetrahedra/measures.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// By region, by index into Mesh::regions [mm].
struct RayPath {
  std::vector<double> lengths;  ///< of the ray in the region
  std::vector<double> ends;  ///< from the origin to where the ray leaves it for the last time; 0: never met
};

/// Walks straight rays from tetrahedron to tetrahedron. Keeps the mesh's neighbour table for many rays; the
/// mesh must outlive it. Safe to use from several threads at once.
class RayWalker {
 public:
  explicit RayWalker(const Mesh& mesh) : mesh_(mesh), neighbours_(face_neighbours(mesh)) {}

  /// The ray from `origin` [mm] in `tetrahedron`
  /// along `direction` (unit vector) to where it first leaves the body; the bond is crossed. Rays that run
  /// into edges or corners and stop advancing are started again from a point moved aside by a millionth of
  /// the element. Throws std::invalid_argument for an origin outside `tetrahedron` or a direction that is not
  /// of unit length, and std::runtime_error, with the place, where the walk does not end.
  [[nodiscard]] RayPath path(int tetrahedron, const Eigen::Vector3d& origin,
                             const Eigen::Vector3d& direction) const;
  [[nodiscard]] std::vector<double> path_lengths(int tetrahedron, const Eigen::Vector3d& origin,
                                                 const Eigen::Vector3d& direction) const {
    return path(tetrahedron, origin, direction).lengths;
  }

 private:
  const Mesh& mesh_;
  std::vector<FaceNeighbours> neighbours_;
};

}  // namespace setstress
