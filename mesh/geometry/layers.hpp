#pragma once
// The increments of a filling as cutting planes, and layouts described by thickness turned into them.

#include <Eigen/Core>
#include <vector>

#include "mesh/geometry/geometry_error.hpp"

namespace setstress {

/// How the cavity is filled: increment k is the part of the cavity below plane k that no earlier increment
/// holds; the last increment is what remains above all planes. An empty list is one bulk increment. "Below"
/// is the side opposite to the normal.
struct CuttingPlane {
  Eigen::Vector3d point;
  Eigen::Vector3d normal;  ///< need not be normalised
};

/// Layouts that are described by thickness instead of by planes are turned into planes here, so that only one
/// mechanism builds increments. Each call returns planes for a cavity whose floor is at z = `floor` and whose
/// occlusal opening is at z = `top`. Throws GeometryError.
std::vector<CuttingPlane> horizontal_layers(double floor, double top, const std::vector<double>& thicknesses);

/// The buccal and the lingual wall of a cavity: alike, flat, leaning outwards.
struct SideWalls {
  double half_width;  ///< from the middle to either wall at `foot` [mm]
  double centre = 0;  ///< y of the middle [mm]
  double foot = 0;    ///< z at which the width is measured [mm]
  double spread = 0;  ///< tangent of each wall's taper [-]

  /// Distance from the middle to either wall at height `z` [mm].
  [[nodiscard]] double half_width_at(double z) const { return half_width + spread * (z - foot); }
};

/// Wedges that lean on the buccal and the lingual wall by turns, buccal first: each plane rises at
/// `angle_degrees` towards its wall and meets it `thickness` above the point to which that wall is already
/// covered. Planes stop where the cavity is filled, or where less than a quarter of a thickness would remain
/// for the last increment.
std::vector<CuttingPlane> oblique_layers(double floor, double top, double thickness, double angle_degrees,
                                         const SideWalls& walls);

}  // namespace setstress
