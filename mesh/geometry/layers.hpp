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

/// Wedges that lean on the buccal and the lingual wall by turns, buccal first, in a cavity centred at y = 0:
/// each plane rises at `angle_degrees` towards its wall and meets it `thickness` above what already lies
/// there, at y = +-half_width. Planes stop where the cavity is filled, or where less than a quarter of a
/// thickness would remain for the last increment.
std::vector<CuttingPlane> oblique_layers(double floor, double top, double thickness, double angle_degrees,
                                         double half_width);

}  // namespace setstress
