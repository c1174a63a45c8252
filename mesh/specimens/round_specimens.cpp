// Specimens with a round bond or outline: disc between plates, plug in a ring, ball in a shell.

#include <gmsh.h>

#include <numbers>

#include "mesh/specimens/specimen_shapes.hpp"

namespace setstress {
namespace {

constexpr double right_angle = std::numbers::pi / 2;

/// Cylinder, or part of one, about the z axis.
int add_cylinder(double radius, double bottom, double top, double angle) {
  return gmsh::model::occ::addCylinder(0, 0, bottom, 0, 0, top - bottom, radius, -1, angle);
}

/// "x0", "y0" or, for a facet whose outward normal does not point straight down one of these axes, `other`.
/// Round outer faces of a quarter or an eighth point up the axes.
std::string symmetry_plane(const Eigen::Vector3d& normal, const std::string& other) {
  if (normal.x() < -0.999999) return "x0";
  if (normal.y() < -0.999999) return "y0";
  return other;
}

std::string one_wall(const Eigen::Vector3d&, const Eigen::Vector3d&) {
  return "wall";
}

}  // namespace

void check_shape(const DiscBetweenPlates& disc) {
  require_above("specimen.diameter", disc.diameter);
  require_above("specimen.height", disc.height);
  if (disc.plate_thickness != 0) require_above("specimen.plate_thickness", disc.plate_thickness);
}

Blueprint blueprint_of(const DiscBetweenPlates& disc) {
  const auto slice = [&](double bottom, double top) {
    return add_cylinder(0.5 * disc.diameter, bottom, top, 4 * right_angle);
  };
  Blueprint blueprint;
  if (disc.plate_thickness > 0)
    blueprint.parts = {fixture("lower plate", {slice(-disc.plate_thickness, 0)}),
                       fixture("upper plate", {slice(disc.height, disc.height + disc.plate_thickness)})};
  blueprint.parts.push_back(filling({slice(0, disc.height)}));
  blueprint.wall = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal) {
    return normal.z() > 0 ? "lower" : "upper";
  };
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region&) {
    return std::abs(normal.z()) > 0.5 ? box_face(normal) : "side";
  };
  return blueprint;
}

void check_shape(const PlugInRing& plug) {
  require_above("specimen.plug_radius", plug.plug_radius);
  require_above("specimen.ring_radius", plug.ring_radius, plug.plug_radius);
  require_above("specimen.height", plug.height);
}

Blueprint blueprint_of(const PlugInRing& plug) {
  Blueprint blueprint;
  blueprint.parts = {fixture("ring", {add_cylinder(plug.ring_radius, 0, plug.height, right_angle)}),
                     filling({add_cylinder(plug.plug_radius, 0, plug.height, right_angle)})};
  blueprint.wall = one_wall;
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region&) {
    return std::abs(normal.z()) > 0.5 ? box_face(normal) : symmetry_plane(normal, "outer");
  };
  return blueprint;
}

void check_shape(const BallInShell& ball) {
  require_above("specimen.ball_radius", ball.ball_radius);
  require_above("specimen.shell_radius", ball.shell_radius, ball.ball_radius);
}

Blueprint blueprint_of(const BallInShell& ball) {
  const auto eighth = [](double radius) {
    return gmsh::model::occ::addSphere(0, 0, 0, radius, -1, 0, right_angle, right_angle);
  };
  Blueprint blueprint;
  blueprint.parts = {fixture("shell", {eighth(ball.shell_radius)}), filling({eighth(ball.ball_radius)})};
  blueprint.wall = one_wall;
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal,
                         const Region&) -> std::string {
    return normal.z() < -0.999999 ? "z0" : symmetry_plane(normal, "outer");
  };
  return blueprint;
}

}  // namespace setstress
