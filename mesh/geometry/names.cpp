#include "mesh/geometry/names.hpp"

#include <algorithm>

namespace setstress {
namespace {

using Names = std::vector<std::string>;

const Names box_faces{"bottom", "top", "x0", "x1", "y0", "y1"};

ShapeNames of(const ButtJoint& joint) {
  if (joint.adherend_height > 0) return {box_faces, {"lower", "upper"}, {"lower plate", "upper plate"}};
  return {box_faces, {}, {}};
}

ShapeNames of(const DiscBetweenPlates& disc) {
  const Names faces{"bottom", "side", "top"};
  if (disc.plate_thickness > 0) return {faces, {"lower", "upper"}, {"lower plate", "upper plate"}};
  return {faces, {}, {}};
}

ShapeNames of(const BimaterialStrip&) {
  return {box_faces, {"bond"}, {"substrate"}};
}

ShapeNames of(const PlugInRing&) {
  return {{"bottom", "outer", "top", "x0", "y0"}, {"wall"}, {"ring"}};
}

ShapeNames of(const BallInShell&) {
  return {{"outer", "x0", "y0", "z0"}, {"wall"}, {"shell"}};
}

ShapeNames of(const FlexingMould&) {
  return {{"bottom", "filling surface", "occlusal buccal", "occlusal lingual", "x0", "x1", "y0", "y1"},
          {"buccal", "floor", "lingual"},
          {"mould"}};
}

ShapeNames of(const FreeBlock&) {
  return {{"x0", "x1", "y0", "y1", "z0", "z1"}, {}, {}};
}

ShapeNames of(const LapJoint&) {
  return {{"bottom", "lower end", "top", "upper end", "y0", "y1"}, {"bond"}, {"lower adherend"}};
}

ShapeNames of(const DoubleCantileverBeam&) {
  return {{"bottom", "lower crack", "lower load", "top", "upper crack", "upper load", "x1", "y0", "y1"},
          {"bond"},
          {"lower arm"}};
}

ShapeNames of(const LayerOnBase&) {
  return {box_faces, {"bond"}, {"base"}};
}

ShapeNames of(const EllipticPlate&) {
  return {{"bottom", "inner", "outer lower", "outer upper", "top", "x0", "y0"}, {}, {"solid"}};
}

ShapeNames of(const TaperedCylinder&) {
  return {{"bottom", "inner", "outer", "top", "x0", "y0"}, {}, {"solid"}};
}

Names walls_of(const Preparation& preparation) {
  using Kind = Preparation::Kind;
  const Kind kind = preparation.kind;
  Names walls{"buccal", "floor", "lingual"};
  if (kind == Kind::occlusal_box || kind == Kind::cylinder) walls.insert(walls.end(), {"distal", "mesial"});
  if (kind == Kind::proximal_box || kind == Kind::proximal_box_with_step) walls.emplace_back("axial");
  if (kind == Kind::proximal_box_with_step)
    walls.insert(walls.end(), {"pulpal floor", preparation.side == Side::mesial ? "distal" : "mesial"});
  if (preparation.bevel > 0) walls.emplace_back("bevel");
  return walls;
}

ShapeNames of(const ToothCase& tooth_case) {
  ShapeNames names{
      {"base", "crown surface", "filling surface", "occlusal buccal", "occlusal lingual", "root surface"},
      walls_of(tooth_case.preparation),
      {"dentin"}};
  if (tooth_case.tooth.occlusal_enamel > 0 || tooth_case.tooth.side_enamel > 0)
    names.bodies.emplace_back("enamel");
  if (tooth_case.tooth.pulp) names.bodies.emplace_back("pulp");
  return names;
}

ShapeNames of(const Specimen& specimen) {
  return std::visit([](const auto& shape) { return of(shape); }, specimen);
}

}  // namespace

ShapeNames names_in(const Geometry& geometry) {
  ShapeNames names = std::visit([](const auto& shape) { return of(shape); }, geometry);
  for (Names* each : {&names.surfaces, &names.walls, &names.bodies}) std::sort(each->begin(), each->end());
  return names;
}

}  // namespace setstress
