#include "mesh/mesher/conforming_solids.hpp"

#include <fmt/format.h>
#include <gmsh.h>

#include <Eigen/Geometry>

#include <map>

namespace setstress {
namespace {

/// Half the side of the square that stands for a cutting plane [mm]; larger than any tooth or specimen.
constexpr double plane_reach = 200;

gmsh::vectorpair solids(const std::vector<int>& tags) {
  gmsh::vectorpair pairs;
  for (const int tag : tags) pairs.emplace_back(3, tag);
  return pairs;
}

/// A large square in the plane.
int add_square(const CuttingPlane& plane) {
  const Eigen::Vector3d normal = plane.normal.normalized();
  const Eigen::Vector3d across = normal.unitOrthogonal();
  const Eigen::Vector3d along = normal.cross(across);
  std::vector<int> points;
  for (const auto& [a, b] : {std::pair{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}) {
    const Eigen::Vector3d corner = plane.point + plane_reach * (a * across + b * along);
    points.push_back(gmsh::model::occ::addPoint(corner.x(), corner.y(), corner.z()));
  }
  std::vector<int> lines;
  for (std::size_t i = 0; i < 4; ++i)
    lines.push_back(gmsh::model::occ::addLine(points[i], points[(i + 1) % 4]));
  return gmsh::model::occ::addPlaneSurface({gmsh::model::occ::addCurveLoop(lines)});
}

/// Whether the solid, which lies wholly on one side of the plane, lies below it. The centre of mass lies on
/// the same side because a half-space is convex.
bool is_below(int volume, const CuttingPlane& plane) {
  Eigen::Vector3d centre;
  gmsh::model::occ::getCenterOfMass(3, volume, centre.x(), centre.y(), centre.z());
  return (centre - plane.point).dot(plane.normal) < 0;
}

struct Halves {
  std::vector<int> below, above;
};

Halves cut(const std::vector<int>& volumes, const CuttingPlane& plane) {
  const int square = add_square(plane);
  gmsh::vectorpair pieces;
  std::vector<gmsh::vectorpair> children;
  gmsh::model::occ::fragment(solids(volumes), {{2, square}}, pieces, children);
  Halves halves;
  gmsh::vectorpair leftover;
  for (const auto& [dimension, tag] : pieces) {
    if (dimension != 3)
      leftover.emplace_back(dimension, tag);
    else
      (is_below(tag, plane) ? halves.below : halves.above).push_back(tag);
  }
  gmsh::model::occ::remove(leftover, /*recursive=*/true);
  return halves;
}

[[noreturn]] void refuse_plane(std::size_t index, const CuttingPlane& plane, const char* why) {
  throw GeometryError("layout",
                      fmt::format("layout: plane {} through ({:.3f}, {:.3f}, {:.3f}) mm leaves {}; every "
                                  "plane must cut what the planes before it left of the cavity",
                                  index + 1, plane.point.x(), plane.point.y(), plane.point.z(), why),
                      index + 1);
}

/// The filling cut in the order of the planes; the last increment is what remains.
std::vector<std::vector<int>> cut_increments(std::vector<int> remaining,
                                             const std::vector<CuttingPlane>& layout) {
  std::vector<std::vector<int>> increments;
  for (std::size_t index = 0; index < layout.size(); ++index) {
    Halves halves = cut(remaining, layout[index]);
    if (halves.below.empty()) refuse_plane(index, layout[index], "nothing below it");
    if (halves.above.empty()) refuse_plane(index, layout[index], "nothing above it");
    increments.push_back(std::move(halves.below));
    remaining = std::move(halves.above);
  }
  increments.push_back(std::move(remaining));
  return increments;
}

/// Index of the region of that name, added where it is new.
std::size_t region_index(std::vector<Region>& regions, const std::string& name, int increment) {
  for (std::size_t index = 0; index < regions.size(); ++index)
    if (regions[index].name == name) return index;
  regions.push_back({.name = name, .increment = increment});
  return regions.size() - 1;
}

/// Solids in painting order with the region each belongs to.
struct Painted {
  std::vector<Region> regions;
  gmsh::vectorpair solids;
  std::vector<std::size_t> region_of_solid;

  void add(const std::vector<int>& volumes, const std::string& name, int increment) {
    const std::size_t region = region_index(regions, name, increment);
    for (const int volume : volumes) {
      solids.emplace_back(3, volume);
      region_of_solid.push_back(region);
    }
  }
};

Painted paint(const Blueprint& blueprint) {
  Painted painted;
  for (const Part& part : blueprint.parts) {
    if (!part.filling) {
      painted.add(part.volumes, part.region, -1);
      continue;
    }
    int number = 0;
    for (const auto& increment : cut_increments(part.volumes, blueprint.layout)) {
      painted.add(increment, fmt::format("increment {}", number + 1), number);
      ++number;
    }
  }
  return painted;
}

/// Splits overlapping solids and merges shared faces; element i of the result holds the pieces of solid i.
std::vector<gmsh::vectorpair> fragment(const gmsh::vectorpair& overlapping) {
  if (overlapping.size() == 1) return {overlapping};
  gmsh::vectorpair pieces;
  std::vector<gmsh::vectorpair> children;
  gmsh::model::occ::fragment({overlapping.front()}, {overlapping.begin() + 1, overlapping.end()}, pieces,
                             children);
  return children;
}

}  // namespace

ConformingSolids make_conforming(const Blueprint& blueprint) {
  const Painted painted = paint(blueprint);
  const std::vector<gmsh::vectorpair> children = fragment(painted.solids);
  std::map<int, std::size_t> region_of;  // later solids overwrite earlier ones
  for (std::size_t solid = 0; solid < children.size(); ++solid)
    for (const auto& [dimension, tag] : children[solid]) region_of[tag] = painted.region_of_solid[solid];

  ConformingSolids result{.regions = painted.regions,
                          .volumes = std::vector<std::vector<int>>(painted.regions.size())};
  for (const auto& [tag, region] : region_of) result.volumes[region].push_back(tag);
  return result;
}

void check_layout(const Blueprint& blueprint) {
  for (const Part& part : blueprint.parts)
    if (part.filling) cut_increments(part.volumes, blueprint.layout);
}

}  // namespace setstress
