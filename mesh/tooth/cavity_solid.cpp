#include "mesh/tooth/cavity_solid.hpp"

#include <gmsh.h>

#include <cmath>
#include <numbers>

#include "mesh/tooth/prismatoid.hpp"

namespace setstress {
namespace {

namespace occ = gmsh::model::occ;

/// Frame of a wall's section: where the flat floor ends, and which way is outward [mm].
struct SectionFrame {
  Eigen::Vector2d foot;
  Eigen::Vector2d outward;

  [[nodiscard]] int add_point(double out, double z) const {
    const Eigen::Vector2d at = foot + out * outward;
    return occ::addPoint(at.x(), at.y(), z);
  }
};

/// Section of the cavity beside a wall: from the vertical `inner` [mm] inside the flat floor's end out to the
/// wall. The rounding is drawn in two halves, so that facets end where the floor's name gives way to the
/// wall's.
int add_section(const WallProfile& profile, const SectionFrame& frame, double inner) {
  const double r = profile.radius, inset = profile.inset();
  const double shoulder = profile.top - profile.bevel;
  std::vector<int> curves, points;
  points.push_back(frame.add_point(-inner, profile.floor));
  if (inner > 0) points.push_back(frame.add_point(0, profile.floor));
  for (std::size_t i = 1; i < points.size(); ++i) curves.push_back(occ::addLine(points[i - 1], points[i]));
  int last = points.back();
  const auto line_to = [&](int point) {
    curves.push_back(occ::addLine(last, point));
    last = point;
  };
  if (r > 0) {
    const int centre = frame.add_point(0, profile.floor + r);
    const double to_wall = 0.5 * std::numbers::pi - profile.taper;
    for (const double angle : {0.5 * to_wall, to_wall}) {
      const int end = frame.add_point(r * std::sin(angle), profile.floor + r * (1 - std::cos(angle)));
      curves.push_back(occ::addCircleArc(last, centre, end));
      last = end;
    }
  }
  line_to(frame.add_point(inset + profile.offset(shoulder), shoulder));
  if (profile.bevel > 0) line_to(frame.add_point(inset + profile.top_offset(), profile.top));
  line_to(frame.add_point(-inner, profile.top));
  line_to(points.front());
  return occ::addPlaneSurface({occ::addCurveLoop(curves)});
}

/// The volumes among the results of an extrusion or revolution.
void keep_volumes(const gmsh::vectorpair& entities, gmsh::vectorpair& volumes) {
  for (const auto& entity : entities)
    if (entity.first == 3) volumes.push_back(entity);
}

std::vector<int> tags(const gmsh::vectorpair& entities) {
  std::vector<int> result;
  for (const auto& [dimension, tag] : entities) result.push_back(tag);
  return result;
}

std::vector<int> fuse(const gmsh::vectorpair& solids) {
  if (solids.size() == 1) return tags(solids);
  gmsh::vectorpair fused;
  std::vector<gmsh::vectorpair> children;
  gmsh::option::setNumber("Geometry.OCCUnionUnify", 0);  // keep the halves of the rounding apart
  occ::fuse({solids.front()}, {solids.begin() + 1, solids.end()}, fused, children);
  return tags(fused);
}

Eigen::Vector2d halfway(const Eigen::Vector2d& a, const Eigen::Vector2d& b) {
  return (a + b).normalized();
}

/// A box with rounded line angles: the bur's section swept along the sides of the flat floor and turned at
/// its corners, around a core that stands on the flat floor.
std::vector<int> add_rounded_box(const BoxForm& box) {
  const WallProfile& walls = box.profile;
  const double inset = walls.inset();
  const FloorRectangle& r = box.rectangle;
  const Eigen::Vector2d corners[4] = {{r.x_min + inset, r.y_min + inset},
                                      {r.x_max - inset, r.y_min + inset},
                                      {r.x_max - inset, r.y_max - inset},
                                      {r.x_min + inset, r.y_max - inset}};
  const Eigen::Vector2d outward[4] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};
  const Eigen::Vector2d size = corners[2] - corners[0];
  gmsh::vectorpair solids{{3, occ::addBox(corners[0].x(), corners[0].y(), walls.floor, size.x(), size.y(),
                                          walls.top - walls.floor)}};
  for (std::size_t side = 0; side < 4; ++side) {
    const Eigen::Vector2d& end = corners[(side + 1) % 4];
    const Eigen::Vector2d along = end - corners[side];
    gmsh::vectorpair swept;
    occ::extrude({{2, add_section(walls, {corners[side], outward[side]}, 0)}}, along.x(), along.y(), 0,
                 swept);
    keep_volumes(swept, solids);
    for (const Eigen::Vector2d& from : {outward[side], halfway(outward[side], outward[(side + 1) % 4])}) {
      gmsh::vectorpair turned;  // two halves, as in the section
      occ::revolve({{2, add_section(walls, {end, from}, 0)}}, end.x(), end.y(), 0, 0, 0, 1,
                   0.25 * std::numbers::pi, turned);
      keep_volumes(turned, solids);
    }
  }
  return fuse(solids);
}

/// Outline of the sharp box at height z, its sides moved outward by `offset`.
Level level(const FloorRectangle& r, double offset, double z) {
  const double west = r.x_min - offset, east = r.x_max + offset;
  const double south = r.y_min - offset, north = r.y_max + offset;
  return {.corners = {{west, south}, {east, south}, {east, north}, {west, north}}, .z = z};
}

/// A box with sharp line angles: flat faces between rectangles at the floor, the bevel's foot and the top.
int add_sharp_box(const BoxForm& box) {
  const WallProfile& walls = box.profile;
  const double shoulder = walls.top - walls.bevel;
  std::vector<Level> levels{level(box.rectangle, 0, walls.floor),
                            level(box.rectangle, walls.offset(shoulder), shoulder)};
  if (walls.bevel > 0) levels.push_back(level(box.rectangle, walls.top_offset(), walls.top));
  return add_prismatoid(levels);
}

std::vector<int> add_box(const BoxForm& box) {
  if (box.profile.radius > 0) return add_rounded_box(box);
  return {add_sharp_box(box)};
}

std::vector<int> add_cylinder(const CylinderForm& cylinder) {
  const double flat = cylinder.radius - cylinder.profile.inset();
  const int section = add_section(cylinder.profile, {{cylinder.x + flat, cylinder.y}, {1, 0}}, flat);
  gmsh::vectorpair turned, volumes;
  occ::revolve({{2, section}}, cylinder.x, cylinder.y, 0, 0, 0, 1, 2 * std::numbers::pi, turned);
  keep_volumes(turned, volumes);
  return tags(volumes);
}

}  // namespace

std::vector<int> add_cavity(const CavityForm& form) {
  if (form.cylinder) return add_cylinder(*form.cylinder);
  std::vector<int> volumes = add_box(*form.box);
  if (!form.step) return volumes;
  gmsh::vectorpair solids;
  for (const int tag : volumes) solids.emplace_back(3, tag);
  for (const int tag : add_box(*form.step)) solids.emplace_back(3, tag);
  return fuse(solids);
}

}  // namespace setstress
