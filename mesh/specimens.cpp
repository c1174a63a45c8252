#include "mesh/specimens.hpp"

#include <fmt/format.h>
#include <gmsh.h>

namespace setstress {
namespace {

void require_positive(const char* key, double value) {
  if (!(value > 0)) throw GeometryError(key, fmt::format("{} is {} mm; must be greater than 0", key, value));
}

void require_not_negative(const char* key, double value) {
  if (!(value >= 0)) throw GeometryError(key, fmt::format("{} is {} mm; must be 0 or more", key, value));
}

/// Cuboid centred on the z axis, from `bottom` upwards.
int add_cuboid(double length, double width, double bottom, double height) {
  return gmsh::model::occ::addBox(-0.5 * length, -0.5 * width, bottom, length, width, height);
}

/// "x0", "x1", "y0", ...: the axis that the normal follows and whether it points down or up it.
std::string face_of_cuboid(const Eigen::Vector3d& normal) {
  Eigen::Index axis = 0;
  normal.cwiseAbs().maxCoeff(&axis);
  return fmt::format("{}{}", "xyz"[axis], normal(axis) > 0 ? 1 : 0);
}

void check_shape(const FreeBlock& block) {
  require_positive("specimen.length", block.length);
  require_positive("specimen.width", block.width);
  require_positive("specimen.height", block.height);
}

Blueprint blueprint_of(const FreeBlock& block) {
  Blueprint blueprint;
  blueprint.parts.push_back(
      {.volumes = {gmsh::model::occ::addBox(0, 0, 0, block.length, block.width, block.height)},
       .region = "block"});
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region&) {
    return face_of_cuboid(normal);
  };
  return blueprint;
}

void check_shape(const ButtJoint& joint) {
  require_positive("specimen.length", joint.length);
  require_positive("specimen.width", joint.width);
  require_positive("specimen.height", joint.height);
  require_not_negative("specimen.adherend_height", joint.adherend_height);
}

/// The composite's lower face lies at z = 0.
Blueprint blueprint_of(const ButtJoint& joint) {
  Blueprint blueprint;
  if (joint.adherend_height > 0) {
    blueprint.parts.push_back(
        {.volumes = {add_cuboid(joint.length, joint.width, -joint.adherend_height, joint.adherend_height)},
         .region = "lower"});
    blueprint.parts.push_back(
        {.volumes = {add_cuboid(joint.length, joint.width, joint.height, joint.adherend_height)},
         .region = "upper"});
  }
  blueprint.parts.push_back(
      {.volumes = {add_cuboid(joint.length, joint.width, 0, joint.height)}, .region = "", .filling = true});
  blueprint.layout = joint.layout;
  blueprint.wall = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal) {
    return std::string(normal.z() > 0 ? "lower" : "upper");
  };
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region& region) {
    if (std::abs(normal.z()) > 0.5) return std::string(normal.z() > 0 ? "top" : "bottom");
    return std::string(region.is_filling() ? "filling surface" : "");
  };
  return blueprint;
}

template <class Shape>
void check_shape(const Shape&) {
  throw GeometryError("specimen.shape",
                      "specimen.shape is not one that can be meshed yet; use a butt joint or a block");
}
template <class Shape>
Blueprint blueprint_of(const Shape& shape) {
  check_shape(shape);
  return {};
}

}  // namespace

void check_specimen(const Specimen& specimen) {
  std::visit([](const auto& shape) { check_shape(shape); }, specimen);
}

Blueprint specimen_blueprint(const Specimen& specimen) {
  return std::visit([](const auto& shape) { return blueprint_of(shape); }, specimen);
}

}  // namespace setstress
