// Specimens with flat faces only that researchers calibrate with: butt joint, strip, flexing mould, free
// block.

#include "mesh/specimens/specimen_shapes.hpp"

namespace setstress {
namespace {

struct Box {
  Eigen::Vector3d low, high;
};

/// Box centred on the z axis.
Box centred(double length, double width, double bottom, double top) {
  return {{-0.5 * length, -0.5 * width, bottom}, {0.5 * length, 0.5 * width, top}};
}

int add(const Box& box) {
  return add_box(box.low, box.high);
}

std::string face_of_box(const Eigen::Vector3d&, const Eigen::Vector3d& normal, const Region&) {
  return box_face(normal);
}

}  // namespace

void check_shape(const ButtJoint& joint) {
  require_above("specimen.length", joint.length);
  require_above("specimen.width", joint.width);
  require_above("specimen.height", joint.height);
  if (joint.adherend_height != 0) require_above("specimen.adherend_height", joint.adherend_height);
  const Box fill = centred(joint.length, joint.width, 0, joint.height);
  require_cuts(joint.layout, fill.low, fill.high);
}

Blueprint blueprint_of(const ButtJoint& joint) {
  const auto slice = [&](double bottom, double top) {
    return add(centred(joint.length, joint.width, bottom, top));
  };
  Blueprint blueprint;
  if (joint.adherend_height > 0)
    blueprint.parts = {fixture("lower plate", {slice(-joint.adherend_height, 0)}),
                       fixture("upper plate", {slice(joint.height, joint.height + joint.adherend_height)})};
  blueprint.parts.push_back(filling({slice(0, joint.height)}));
  blueprint.layout = joint.layout;
  blueprint.wall = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal) {
    return normal.z() > 0 ? "lower" : "upper";
  };
  blueprint.surface = face_of_box;
  return blueprint;
}

void check_shape(const BimaterialStrip& strip) {
  require_above("specimen.length", strip.length);
  require_above("specimen.width", strip.width);
  require_above("specimen.substrate_thickness", strip.substrate_thickness);
  require_above("specimen.filling_thickness", strip.filling_thickness);
}

Blueprint blueprint_of(const BimaterialStrip& strip) {
  Blueprint blueprint;
  blueprint.parts = {
      fixture("substrate", {add_box({0, 0, -strip.substrate_thickness}, {strip.length, strip.width, 0})}),
      filling({add_box({0, 0, 0}, {strip.length, strip.width, strip.filling_thickness})})};
  blueprint.wall = [](const Eigen::Vector3d&, const Eigen::Vector3d&) { return "bond"; };
  blueprint.surface = face_of_box;
  return blueprint;
}

void check_shape(const FlexingMould& mould) {
  require_above("specimen.slot_width", mould.slot_width);
  require_above("specimen.slot_length", mould.slot_length);
  require_above("specimen.slot_depth", mould.slot_depth);
  require_above("specimen.wall_thickness", mould.wall_thickness);
  require_above("specimen.base_thickness", mould.base_thickness);
  const Box slot = centred(mould.slot_length, mould.slot_width, 0, mould.slot_depth);
  require_cuts(mould.layout, slot.low, slot.high);
}

Blueprint blueprint_of(const FlexingMould& mould) {
  const double outer_width = mould.slot_width + 2 * mould.wall_thickness;
  Blueprint blueprint;
  blueprint.parts = {
      fixture("mould",
              {add(centred(mould.slot_length, outer_width, -mould.base_thickness, mould.slot_depth))}),
      filling({add(centred(mould.slot_length, mould.slot_width, 0, mould.slot_depth))})};
  blueprint.layout = mould.layout;
  blueprint.wall = [](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal) {
    if (normal.z() > 0.5) return "floor";
    return centroid.y() > 0 ? "buccal" : "lingual";
  };
  blueprint.surface = [](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                         const Region& region) -> std::string {
    if (normal.z() < 0.5) return box_face(normal);
    if (region.is_filling()) return "filling surface";
    return centroid.y() > 0 ? "occlusal buccal" : "occlusal lingual";
  };
  return blueprint;
}

void check_shape(const FreeBlock& block) {
  require_above("specimen.length", block.length);
  require_above("specimen.width", block.width);
  require_above("specimen.height", block.height);
}

Blueprint blueprint_of(const FreeBlock& block) {
  Blueprint blueprint;
  blueprint.parts = {filling({add_box({0, 0, 0}, {block.length, block.width, block.height})})};
  blueprint.surface = [](const Eigen::Vector3d&, const Eigen::Vector3d& normal,
                         const Region&) -> std::string {
    if (normal.z() > 0.5) return "z1";
    if (normal.z() < -0.5) return "z0";
    return box_face(normal);
  };
  return blueprint;
}

}  // namespace setstress
