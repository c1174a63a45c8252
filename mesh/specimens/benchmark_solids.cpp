// Quarter solids of two published benchmarks of linear elasticity: NAFEMS, The Standard NAFEMS Benchmarks,
// TNSB rev. 3 (1990), tests LE10 (thick elliptic plate) and LE11 (solid sphere, taper and cylinder).

#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "mesh/specimens/specimen_shapes.hpp"

namespace setstress {
namespace {

constexpr double quarter_turn = std::numbers::pi / 2;

std::vector<int> solids_of(const gmsh::vectorpair& entities) {
  std::vector<int> solids;
  for (const auto& [dimension, tag] : entities)
    if (dimension == 3) solids.push_back(tag);
  return solids;
}

/// Quarter of an ellipse about the z axis, from the x axis to the y axis.
int add_quarter_ellipse(double along_x, double along_y, double z) {
  return gmsh::model::occ::addEllipse(0, 0, z, along_x, along_y, -1, 0, quarter_turn);
}

/// The plate's quarter in the first quadrant between two levels.
int add_quarter_plate(const EllipticPlate& plate, double bottom, double top) {
  namespace occ = gmsh::model::occ;
  const auto point = [&](double x, double y) { return occ::addPoint(x, y, bottom); };
  const int wire = occ::addWire({add_quarter_ellipse(plate.outer_x, plate.outer_y, bottom),
                                 occ::addLine(point(0, plate.outer_y), point(0, plate.inner_y)),
                                 add_quarter_ellipse(plate.inner_x, plate.inner_y, bottom),
                                 occ::addLine(point(plate.inner_x, 0), point(plate.outer_x, 0))});
  gmsh::vectorpair swept;
  occ::extrude({{2, occ::addPlaneSurface({wire})}}, 0, 0, top - bottom, swept);
  return solids_of(swept).front();
}

/// "x0" or "y0" for a facet in one of these planes, else "".
std::string symmetry_plane(const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal, double size) {
  if (normal.x() < -0.5 && centroid.x() < 1e-6 * size) return "x0";
  if (normal.y() < -0.5 && centroid.y() < 1e-6 * size) return "y0";
  return "";
}

bool faces_axis(const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal) {
  return normal.head<2>().dot(centroid.head<2>()) < 0;
}

}  // namespace

void check_shape(const EllipticPlate& plate) {
  require_above("specimen.inner_y", plate.inner_y);
  require_at_least("specimen.inner_x", plate.inner_x, plate.inner_y);
  require_above("specimen.outer_y", plate.outer_y, plate.inner_y);
  require_above("specimen.outer_x", plate.outer_x, plate.inner_x);
  require_at_least("specimen.outer_x", plate.outer_x, plate.outer_y);
  require_above("specimen.thickness", plate.thickness);
}

Blueprint blueprint_of(const EllipticPlate& plate) {
  const double middle = 0.5 * plate.thickness;
  Blueprint blueprint;
  blueprint.parts = {
      fixture("solid", {add_quarter_plate(plate, 0, middle),  // two halves, so that nodes lie on
                        add_quarter_plate(plate, middle, plate.thickness)})};  // the middle line
  blueprint.surface = [middle](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                               const Region&) -> std::string {
    if (std::abs(normal.z()) > 0.5) return box_face(normal);
    const std::string plane = symmetry_plane(centroid, normal, middle);
    if (!plane.empty()) return plane;
    if (faces_axis(centroid, normal)) return "inner";
    return centroid.z() < middle ? "outer lower" : "outer upper";
  };
  return blueprint;
}

void check_shape(const TaperedCylinder& solid) {
  require_above("specimen.inner_radius", solid.inner_radius);
}

Blueprint blueprint_of(const TaperedCylinder& solid) {
  namespace occ = gmsh::model::occ;
  const auto point = [&](double radius, double z) {
    return occ::addPoint(solid.inner_radius * radius, 0, solid.inner_radius * z);
  };
  const double inner_cylinder = std::sqrt(0.5);  // the inner sphere is left at 45 degrees
  const int centre = point(0, 0);
  const int a = point(1, 0), b = point(1.4, 0);
  const int c = point(std::sqrt(1.4 * 1.4 - 0.7 * 0.7), 0.7);  // end of the outer sphere
  const int d = point(1, 1.39), e = point(1, 1.79);            // taper, cylinder
  const int f = point(inner_cylinder, 1.79), g = point(inner_cylinder, inner_cylinder);
  const int outline = occ::addCurveLoop({occ::addLine(a, b), occ::addCircleArc(b, centre, c),
                                         occ::addLine(c, d), occ::addLine(d, e), occ::addLine(e, f),
                                         occ::addLine(f, g), occ::addCircleArc(g, centre, a)});
  gmsh::vectorpair swept;
  occ::revolve({{2, occ::addPlaneSurface({outline})}}, 0, 0, 0, 0, 0, 1, quarter_turn, swept);
  occ::remove({{0, centre}});
  Blueprint blueprint;
  blueprint.parts = {fixture("solid", solids_of(swept))};
  blueprint.surface = [size = solid.inner_radius](const Eigen::Vector3d& centroid,
                                                  const Eigen::Vector3d& normal,
                                                  const Region&) -> std::string {
    const std::string plane = symmetry_plane(centroid, normal, size);
    if (!plane.empty()) return plane;
    if (normal.z() < -0.999999) return "bottom";
    if (normal.z() > 0.999999) return "top";
    return faces_axis(centroid, normal) ? "inner" : "outer";
  };
  return blueprint;
}

}  // namespace setstress
