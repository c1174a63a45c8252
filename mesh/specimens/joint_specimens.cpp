// Specimens that check the bond against closed solutions: lap joint, double cantilever beam, layer on a base.

#include "mesh/specimens/specimen_shapes.hpp"

namespace setstress {
namespace {

std::string one_bond(const Eigen::Vector3d&, const Eigen::Vector3d&) {
  return "bond";
}

/// Whether a facet lies in the plane of the bond, z = 0, rather than on the outside of what meets there.
bool in_bond_plane(const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal, double thickness) {
  return std::abs(normal.z()) > 0.5 && std::abs(centroid.z()) < 0.5 * thickness;
}

}  // namespace

void check_shape(const LapJoint& joint) {
  require_above("specimen.overlap", joint.overlap);
  require_above("specimen.width", joint.width);
  require_above("specimen.thickness", joint.thickness);
  if (joint.free_length != 0) require_above("specimen.free_length", joint.free_length);
}

Blueprint blueprint_of(const LapJoint& joint) {
  const double overlap = joint.overlap, free = joint.free_length, thickness = joint.thickness;
  Blueprint blueprint;
  blueprint.parts = {fixture("lower adherend", {add_box({-free, 0, -thickness}, {overlap, joint.width, 0})}),
                     filling({add_box({0, 0, 0}, {overlap + free, joint.width, thickness})})};
  blueprint.wall = one_bond;
  blueprint.surface = [thickness](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                                  const Region& region) -> std::string {
    const std::string face = box_face(normal);
    if (in_bond_plane(centroid, normal, thickness)) return "";
    if (face == "x0") return region.is_filling() ? "" : "lower end";
    if (face == "x1") return region.is_filling() ? "upper end" : "";
    return face;
  };
  return blueprint;
}

void check_shape(const DoubleCantileverBeam& beam) {
  require_above("specimen.crack_length", beam.crack_length);
  require_above("specimen.length", beam.length, beam.crack_length);
  require_above("specimen.width", beam.width);
  require_above("specimen.arm_height", beam.arm_height);
}

Blueprint blueprint_of(const DoubleCantileverBeam& beam) {
  const double crack = beam.crack_length, height = beam.arm_height;
  const auto arm =
      [&](double bottom) -> std::vector<int> {  // in two pieces that meet above the crack's front
    const double top = bottom + height;
    return {add_box({0, 0, bottom}, {crack, beam.width, top}),
            add_box({crack, 0, bottom}, {beam.length, beam.width, top})};
  };
  Blueprint blueprint;
  blueprint.parts = {fixture("lower arm", arm(-height)), filling(arm(0))};
  blueprint.wall = [crack](const Eigen::Vector3d& centroid, const Eigen::Vector3d&) {
    return centroid.x() > crack ? "bond" : "";
  };
  blueprint.surface = [height](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                               const Region& region) -> std::string {
    const std::string arm_name = region.is_filling() ? "upper" : "lower";
    const std::string face = box_face(normal);
    if (in_bond_plane(centroid, normal, height)) return arm_name + " crack";
    return face == "x0" ? arm_name + " load" : face;
  };
  return blueprint;
}

void check_shape(const LayerOnBase& layer) {
  require_above("specimen.length", layer.length);
  require_above("specimen.width", layer.width);
  require_above("specimen.thickness", layer.thickness);
  require_above("specimen.base_thickness", layer.base_thickness);
}

Blueprint blueprint_of(const LayerOnBase& layer) {
  Blueprint blueprint;
  blueprint.parts = {
      fixture("base", {add_box({0, 0, -layer.base_thickness}, {layer.length, layer.width, 0})}),
      filling({add_box({0, 0, 0}, {layer.length, layer.width, layer.thickness})})};
  blueprint.wall = one_bond;
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region&) {
    return box_face(normal);
  };
  return blueprint;
}

}  // namespace setstress
