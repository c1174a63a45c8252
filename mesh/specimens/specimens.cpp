#include "mesh/specimens/specimens.hpp"

#include <fmt/format.h>
#include <gmsh.h>

#include <cmath>

#include "mesh/specimens/specimen_shapes.hpp"

namespace setstress {

void require_above(const char* key, double value, double limit) {
  if (!(std::isfinite(value) && value > limit))
    throw GeometryError(key, fmt::format("{} is {} mm; must be greater than {} mm", key, value, limit));
}

void require_at_least(const char* key, double value, double limit) {
  if (!(std::isfinite(value) && value >= limit))
    throw GeometryError(key, fmt::format("{} is {} mm; must be at least {} mm", key, value, limit));
}

void require_cuts(const std::vector<CuttingPlane>& layout, const Eigen::Vector3d& low,
                  const Eigen::Vector3d& high) {
  const Eigen::Vector3d centre = 0.5 * (low + high), half = 0.5 * (high - low);
  for (std::size_t index = 0; index < layout.size(); ++index) {
    const CuttingPlane& plane = layout[index];
    const double offset = std::abs(plane.normal.dot(centre - plane.point));
    const double reach = plane.normal.cwiseAbs().dot(half);  // of the box on either side of its centre
    if (!(offset < reach))
      throw GeometryError(
          "layout",
          fmt::format("layout: plane {} through ({:.3f}, {:.3f}, {:.3f}) mm misses the filling, which "
                      "reaches from ({:.3f}, {:.3f}, {:.3f}) to ({:.3f}, {:.3f}, {:.3f}) mm",
                      index + 1, plane.point.x(), plane.point.y(), plane.point.z(), low.x(), low.y(), low.z(),
                      high.x(), high.y(), high.z()),
          index + 1);
  }
}

int add_box(const Eigen::Vector3d& low, const Eigen::Vector3d& high) {
  const Eigen::Vector3d size = high - low;
  return gmsh::model::occ::addBox(low.x(), low.y(), low.z(), size.x(), size.y(), size.z());
}

std::string box_face(const Eigen::Vector3d& normal) {
  Eigen::Index axis = 0;
  normal.cwiseAbs().maxCoeff(&axis);
  const bool up = normal(axis) > 0;
  if (axis == 2) return up ? "top" : "bottom";
  return fmt::format("{}{}", "xy"[axis], up ? 1 : 0);
}

Part fixture(const std::string& region, const std::vector<int>& volumes) {
  return {.volumes = volumes, .region = region};
}

Part filling(const std::vector<int>& volumes) {
  return {.volumes = volumes, .region = "", .filling = true};
}

void check_specimen(const Specimen& specimen) {
  std::visit([](const auto& shape) { check_shape(shape); }, specimen);
}

Blueprint specimen_blueprint(const Specimen& specimen) {
  return std::visit([](const auto& shape) { return blueprint_of(shape); }, specimen);
}

}  // namespace setstress
