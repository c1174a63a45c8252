#include "mesh/geometry/layers.hpp"

#include "mesh/geometry/layers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace setstress {
namespace {

/// Thicknesses that differ from the depth by less fill the preparation [mm].
constexpr double filled_tolerance = 1e-6;

void require_opening_above_floor(double floor, double top) {
  if (!(top > floor))
    throw GeometryError(
        "preparation.depth",
        fmt::format("preparation.depth puts the floor at z = {:.3f} mm and the opening at z = {:.3f} mm; "
                    "the opening must lie above the floor",
                    floor, top));
}

/// Surface of what has been placed so far, seen along x: the highest of the planes at each y. Planes are kept
/// as height in the middle between the walls and slope.
struct PlacedSurface {
  double floor;
  SideWalls walls;
  std::vector<std::pair<double, double>> planes;

  /// Height at `y` from the middle.
  [[nodiscard]] double height(double y) const {
    double highest = floor;
    for (const auto& [centre, slope] : planes) highest = std::max(highest, centre + slope * y);
    return highest;
  }

  /// Height to which the wall is covered; +1 is the buccal, -1 the lingual wall. Where a plane meets the
  /// wall, z = centre + slope * side * half_width_at(z).
  [[nodiscard]] double height_at_wall(double side) const {
    double highest = floor;
    for (const auto& [centre, slope] : planes)
      highest = std::max(highest, (centre + slope * side * (walls.half_width - walls.spread * walls.foot)) /
                                      (1 - slope * side * walls.spread));
    return highest;
  }

  /// Lowest point between the walls. The surface is convex, so that its lowest point is at a wall or where
  /// two planes, or a plane and the floor, cross.
  [[nodiscard]] double lowest() const {
    const double buccal = height_at_wall(1), lingual = height_at_wall(-1);
    const double first = -walls.half_width_at(lingual), last = walls.half_width_at(buccal);
    double lowest = std::min(buccal, lingual);
    auto lines = planes;
    lines.emplace_back(floor, 0.0);
    for (const auto& [centre, slope] : lines)
      for (const auto& [other_centre, other_slope] : lines)
        if (slope != other_slope)
          lowest = std::min(lowest,
                            height(std::clamp((other_centre - centre) / (slope - other_slope), first, last)));
    return lowest;
  }
};

void require_oblique_parameters(double thickness, double angle_degrees, const SideWalls& walls) {
  if (!(thickness > 0))
    throw GeometryError("layout.thickness",
                        fmt::format("layout.thickness is {} mm; must be greater than 0", thickness));
  if (!(angle_degrees > 0 && angle_degrees <= 75))
    throw GeometryError("layout.angle",
                        fmt::format("layout.angle is {} degrees; must be above 0 and at most 75 (use "
                                    "horizontal layers for 0)",
                                    angle_degrees));
  const double along_wall = 90 - std::atan(walls.spread) * 180 / std::numbers::pi;
  if (!(angle_degrees < along_wall - 1))
    throw GeometryError("layout.angle",
                        fmt::format("layout.angle is {} degrees; must be below {:.4g}, a degree less than "
                                    "the walls rise: a layer along a wall never meets it",
                                    angle_degrees, along_wall - 1));
  if (!(walls.half_width > 0))
    throw GeometryError("preparation.width", fmt::format("preparation.width is {} mm; must be greater than 0",
                                                         2 * walls.half_width));
}

}  // namespace

std::vector<CuttingPlane> horizontal_layers(double floor, double top,
                                            const std::vector<double>& thicknesses) {
  require_opening_above_floor(floor, top);
  for (const double thickness : thicknesses)
    if (!(thickness > 0))
      throw GeometryError(
          "layout.thicknesses",
          fmt::format("layout.thicknesses holds {} mm; every layer must be thicker than 0", thickness));
  const double depth = top - floor;
  const double sum = std::accumulate(thicknesses.begin(), thicknesses.end(), 0.0);
  if (!(std::abs(sum - depth) <= filled_tolerance))
    throw GeometryError(
        "layout.thicknesses",
        fmt::format("layout.thicknesses adds up to {:.3f} mm but the preparation is {:.3f} mm deep; a "
                    "plan that does not fill the preparation, or overfills it, cannot be placed: {} "
                    "{:.3f} mm",
                    sum, depth, sum < depth ? "add" : "take away", std::abs(depth - sum)));
  std::vector<CuttingPlane> planes;
  double height = floor;
  for (std::size_t layer = 0; layer + 1 < thicknesses.size(); ++layer) {
    height += thicknesses[layer];
    planes.push_back({.point = {0, 0, height}, .normal = Eigen::Vector3d::UnitZ()});
  }
  return planes;
}

std::vector<CuttingPlane> oblique_layers(double floor, double top, double thickness, double angle_degrees,
                                         const SideWalls& walls) {
  require_opening_above_floor(floor, top);
  require_oblique_parameters(thickness, angle_degrees, walls);
  const double angle = angle_degrees * std::numbers::pi / 180;
  PlacedSurface placed{.floor = floor, .walls = walls, .planes = {}};
  std::vector<CuttingPlane> planes;
  for (double side = 1;; side = -side) {  // +1: against the buccal wall, -1: against the lingual wall
    const double at_wall = placed.height_at_wall(side);
    if (at_wall >= top && placed.height_at_wall(-side) >= top) return planes;
    if (at_wall >= top) continue;  // only the other wall still has room
    const double slope = side * std::tan(angle);
    const double meets_wall = at_wall + thickness;
    const double centre = meets_wall - slope * side * walls.half_width_at(meets_wall);
    placed.planes.emplace_back(centre, slope);
    if (placed.lowest() > top - 0.25 * thickness) return planes;  // what remains is the last increment
    planes.push_back(
        {.point = {0, walls.centre, centre}, .normal = {0, -side * std::sin(angle), std::cos(angle)}});
  }
}

}  // namespace setstress
