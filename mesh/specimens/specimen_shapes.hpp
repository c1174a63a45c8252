#pragma once
// One check and one blueprint for each shape of specimen, and what they share. Internal to mesh/.

#include <string>
#include <vector>

#include "mesh/geometry/blueprint.hpp"
#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// Throws GeometryError with that key unless `value` [mm] is finite and greater than `limit` [mm].
void require_above(const char* key, double value, double limit = 0);
/// The same for a value that may also equal `limit`.
void require_at_least(const char* key, double value, double limit);

/// Throws GeometryError (key "layout") where a plane misses the box from `low` to `high` [mm], which the
/// filling fills.
void require_cuts(const std::vector<CuttingPlane>& layout, const Eigen::Vector3d& low,
                  const Eigen::Vector3d& high);

/// Adds a cuboid with these two opposite corners [mm]; returns its OpenCASCADE tag.
int add_box(const Eigen::Vector3d& low, const Eigen::Vector3d& high);

/// "x0", "x1", "y0", "y1", "bottom" or "top": the axis that the normal follows and whether it points down or
/// up it.
std::string box_face(const Eigen::Vector3d& normal);

/// Part of fixture, and the filling.
Part fixture(const std::string& region, const std::vector<int>& volumes);
Part filling(const std::vector<int>& volumes);

// Each throws GeometryError with the key of the entry at fault, such as "specimen.height".
void check_shape(const ButtJoint& shape);
void check_shape(const DiscBetweenPlates& shape);
void check_shape(const BimaterialStrip& shape);
void check_shape(const PlugInRing& shape);
void check_shape(const BallInShell& shape);
void check_shape(const FlexingMould& shape);
void check_shape(const FreeBlock& shape);
void check_shape(const LapJoint& shape);
void check_shape(const DoubleCantileverBeam& shape);
void check_shape(const LayerOnBase& shape);
void check_shape(const EllipticPlate& shape);
void check_shape(const TaperedCylinder& shape);

// Each adds its solids to the open session's model.
Blueprint blueprint_of(const ButtJoint& shape);
Blueprint blueprint_of(const DiscBetweenPlates& shape);
Blueprint blueprint_of(const BimaterialStrip& shape);
Blueprint blueprint_of(const PlugInRing& shape);
Blueprint blueprint_of(const BallInShell& shape);
Blueprint blueprint_of(const FlexingMould& shape);
Blueprint blueprint_of(const FreeBlock& shape);
Blueprint blueprint_of(const LapJoint& shape);
Blueprint blueprint_of(const DoubleCantileverBeam& shape);
Blueprint blueprint_of(const LayerOnBase& shape);
Blueprint blueprint_of(const EllipticPlate& shape);
Blueprint blueprint_of(const TaperedCylinder& shape);

}  // namespace setstress
