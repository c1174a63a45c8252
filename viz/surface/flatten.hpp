#pragma once
// Private to viz/: one part of a wall, cut out of space and laid in the plane without tears.

#include <Eigen/Core>
#include <array>
#include <optional>
#include <vector>

namespace setstress::viz {

/// A triangulated part of a wall. Corners index `position`, three coordinates each [mm].
struct Patch {
  std::vector<std::array<int, 3>> triangles;
  std::vector<Eigen::Vector3d> position;
};

/// Plane positions [mm] that keep every triangle as nearly as possible rigid, starting from `flat`: exact for
/// flat, cylindrical and conical walls, slightly stretched where a wall is rounded both ways. Empty when a
/// triangle would turn over. Method: Liu, Zhang, Xu, Gotsman, Gortler 2008, Comput Graph Forum 27:1495, doi
/// 10.1111/j.1467-8659.2008.01290.x (as rigid as possible, local and global steps in turn).
std::optional<std::vector<Eigen::Vector2d>> flatten(const Patch& patch, std::vector<Eigen::Vector2d> flat);

}  // namespace setstress::viz
