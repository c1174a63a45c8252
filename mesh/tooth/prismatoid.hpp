#pragma once
// Solids with flat faces between polygons at several heights. Internal to mesh/.

#include <Eigen/Core>
#include <vector>

namespace setstress {

/// Horizontal polygon, corners counter-clockwise seen from above [mm].
struct Level {
  std::vector<Eigen::Vector2d> corners;
  double z;
};

/// Adds the solid between consecutive levels to the open session's OpenCASCADE model and returns its volume.
/// All levels have the same number of corners, and corresponding sides are parallel, so that every face is
/// flat.
int add_prismatoid(const std::vector<Level>& levels);

}  // namespace setstress
