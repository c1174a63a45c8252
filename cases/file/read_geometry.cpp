#include "cases/file/read_geometry.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace setstress {

namespace {

const std::vector<std::string> preparation_kinds{"occlusal-box", "proximal-box", "proximal-box-with-step",
                                                 "through-box", "cylinder"};
const std::vector<std::string> specimen_kinds{
    "butt-joint",     "disc-between-plates", "bimaterial-strip", "plug-in-ring",           "ball-in-shell",
    "flexing-mould",  "free-block",          "lap-joint",        "double-cantilever-beam", "layer-on-base",
    "elliptic-plate", "tapered-cylinder"};  // in the order of the alternatives of Specimen
static_assert(std::variant_size_v<Specimen> == 12);

constexpr Quantity tooth_size{"mm", 3, 20};

Tooth read_tooth(const Section& s) {
  Tooth t;
  t.length = s.number("length", tooth_size, t.length);
  t.width = s.number("width", tooth_size, t.width);
  t.crown_height = s.number("crown_height", {"mm", 2, 12}, t.crown_height);
  t.root_depth = s.number("root_depth", {"mm", 1, 20}, t.root_depth);
  t.edge_radius = s.number("edge_radius", {"mm", 0, 5}, t.edge_radius);
  t.occlusal_enamel = s.number("occlusal_enamel", {"mm", 0, 3}, t.occlusal_enamel);
  t.side_enamel = s.number("side_enamel", {"mm", 0, 3}, t.side_enamel);
  if (s.has("pulp")) {
    const Section p = s.section("pulp");
    Tooth::Pulp pulp;
    pulp.length = p.number("length", {"mm", 0.5, 15}, pulp.length);
    pulp.width = p.number("width", {"mm", 0.5, 15}, pulp.width);
    pulp.roof = p.number("roof", {"mm", -20, 10}, pulp.roof);
    t.pulp = pulp;
  }
  return t;
}

Preparation::Kind read_kind(const Section& s) {
  const std::string kind = s.choice("kind", preparation_kinds);
  if (kind == "occlusal-box") return Preparation::Kind::occlusal_box;
  if (kind == "proximal-box") return Preparation::Kind::proximal_box;
  if (kind == "proximal-box-with-step") return Preparation::Kind::proximal_box_with_step;
  if (kind == "through-box") return Preparation::Kind::through_box;
  return Preparation::Kind::cylinder;
}

/// Only the entries that the kind has are asked for; others are refused as unknown later.
Preparation read_preparation(const Section& s) {
  using Kind = Preparation::Kind;
  constexpr Quantity size{"mm", 0.5, 15};
  Preparation p;
  p.kind = read_kind(s);
  const bool proximal = p.kind == Kind::proximal_box || p.kind == Kind::proximal_box_with_step;
  const bool centred = p.kind == Kind::occlusal_box || p.kind == Kind::cylinder;
  if (proximal)
    p.side = s.choice("side", {"mesial", "distal"}, "mesial") == "mesial" ? Side::mesial : Side::distal;
  p.depth = s.number("depth", {"mm", 0.5, 12});
  if (proximal || p.kind == Kind::occlusal_box) p.length = s.number("length", size);
  if (p.kind == Kind::cylinder) p.diameter = s.number("diameter", size);
  if (p.kind != Kind::cylinder) p.width = s.number("width", size);
  if (p.kind == Kind::proximal_box_with_step) {
    p.step_depth = s.number("step_depth", {"mm", 0.5, 8}, p.step_depth);
    p.step_length = s.number("step_length", size, p.step_length);
    p.step_width = s.number("step_width", size, p.step_width);
  }
  p.taper = s.number("taper", {"deg", 0, 20}, p.taper);
  p.line_angle_radius = s.number("line_angle_radius", {"mm", 0, 2}, p.line_angle_radius);
  p.bevel = s.number("bevel", {"mm", 0, 1.5}, p.bevel);
  if (centred) p.offset_x = s.number("offset_x", {"mm", -8, 8}, p.offset_x);
  p.offset_y = s.number("offset_y", {"mm", -8, 8}, p.offset_y);
  return p;
}

/// One size of a specimen: its key and where it is kept.
template <class Shape>
struct Size {
  const char* key;
  double Shape::*in;
  Quantity allowed = {"mm", 0.01, 5000};
};
constexpr Quantity or_none{"mm", 0, 5000};

std::vector<Size<ButtJoint>> sizes_of(const ButtJoint&) {
  using S = ButtJoint;
  return {{"length", &S::length},
          {"width", &S::width},
          {"height", &S::height},
          {"adherend_height", &S::adherend_height, or_none}};
}
std::vector<Size<DiscBetweenPlates>> sizes_of(const DiscBetweenPlates&) {
  using S = DiscBetweenPlates;
  return {
      {"diameter", &S::diameter}, {"height", &S::height}, {"plate_thickness", &S::plate_thickness, or_none}};
}
std::vector<Size<BimaterialStrip>> sizes_of(const BimaterialStrip&) {
  using S = BimaterialStrip;
  return {{"length", &S::length},
          {"width", &S::width},
          {"substrate_thickness", &S::substrate_thickness},
          {"filling_thickness", &S::filling_thickness}};
}
std::vector<Size<PlugInRing>> sizes_of(const PlugInRing&) {
  using S = PlugInRing;
  return {{"plug_radius", &S::plug_radius}, {"ring_radius", &S::ring_radius}, {"height", &S::height}};
}
std::vector<Size<BallInShell>> sizes_of(const BallInShell&) {
  using S = BallInShell;
  return {{"ball_radius", &S::ball_radius}, {"shell_radius", &S::shell_radius}};
}
std::vector<Size<FlexingMould>> sizes_of(const FlexingMould&) {
  using S = FlexingMould;
  return {{"slot_width", &S::slot_width},
          {"slot_length", &S::slot_length},
          {"slot_depth", &S::slot_depth},
          {"wall_thickness", &S::wall_thickness},
          {"base_thickness", &S::base_thickness}};
}
std::vector<Size<FreeBlock>> sizes_of(const FreeBlock&) {
  using S = FreeBlock;
  return {{"length", &S::length}, {"width", &S::width}, {"height", &S::height}};
}
std::vector<Size<LapJoint>> sizes_of(const LapJoint&) {
  using S = LapJoint;
  return {{"overlap", &S::overlap},
          {"width", &S::width},
          {"thickness", &S::thickness},
          {"free_length", &S::free_length, or_none}};
}
std::vector<Size<DoubleCantileverBeam>> sizes_of(const DoubleCantileverBeam&) {
  using S = DoubleCantileverBeam;
  return {{"length", &S::length},
          {"width", &S::width},
          {"arm_height", &S::arm_height},
          {"crack_length", &S::crack_length}};
}
std::vector<Size<LayerOnBase>> sizes_of(const LayerOnBase&) {
  using S = LayerOnBase;
  return {{"length", &S::length},
          {"width", &S::width},
          {"thickness", &S::thickness},
          {"base_thickness", &S::base_thickness}};
}
std::vector<Size<EllipticPlate>> sizes_of(const EllipticPlate&) {
  using S = EllipticPlate;
  return {{"inner_x", &S::inner_x},
          {"inner_y", &S::inner_y},
          {"outer_x", &S::outer_x},
          {"outer_y", &S::outer_y},
          {"thickness", &S::thickness}};
}
std::vector<Size<TaperedCylinder>> sizes_of(const TaperedCylinder&) {
  using S = TaperedCylinder;
  return {{"inner_radius", &S::inner_radius}};
}

/// The alternative of Specimen with this index, at its defaults.
template <std::size_t index = 0>
Specimen default_specimen(std::size_t wanted) {
  if constexpr (index + 1 < std::variant_size_v<Specimen>) {
    if (wanted != index) return default_specimen<index + 1>(wanted);
  }
  return Specimen(std::in_place_index<index>);
}

Specimen read_specimen(const Section& s) {
  const std::string kind = s.choice("kind", specimen_kinds);
  const auto which = std::find(specimen_kinds.begin(), specimen_kinds.end(), kind) - specimen_kinds.begin();
  Specimen specimen = default_specimen(static_cast<std::size_t>(which));
  std::visit(
      [&](auto& shape) {
        for (const auto& size : sizes_of(shape))
          shape.*size.in = s.number(size.key, size.allowed, shape.*size.in);
      },
      specimen);
  return specimen;
}

template <class... Cases>
struct Overloaded : Cases... {
  using Cases::operator()...;
};
template <class... Cases>
Overloaded(Cases...) -> Overloaded<Cases...>;

}  // namespace

Geometry read_geometry(const Section& root) {
  if (root.has("specimen")) {
    for (const char* other : {"tooth", "preparation"})
      if (root.has(other))
        root.fail(other, "cannot stand beside [specimen]: a case has either a tooth or a specimen");
    return read_specimen(root.section("specimen"));
  }
  if (!root.has("preparation"))
    root.fail("preparation", "is missing; a case needs [preparation] in a [tooth], or a [specimen]");
  return ToothCase{read_tooth(root.section("tooth")), read_preparation(root.section("preparation")), {}};
}

FillingExtent extent_of_filling(const Geometry& geometry) {
  if (const auto* tooth = std::get_if<ToothCase>(&geometry)) {
    const Preparation& p = tooth->preparation;
    const double top = tooth->tooth.crown_height, floor = top - p.depth;
    const double across = p.kind == Preparation::Kind::cylinder ? p.diameter : p.width;
    const double spread = std::tan(p.taper * std::numbers::pi / 180);
    return {floor, top, {0.5 * across, p.offset_y, floor, spread}, true, true};
  }
  return std::visit(Overloaded{[](const ButtJoint& j) {
                                 return FillingExtent{0, j.height, {0.5 * j.width}, true, true};
                               },
                               [](const FlexingMould& m) {
                                 return FillingExtent{0, m.slot_depth, {0.5 * m.slot_width}, true, true};
                               },
                               [](const EllipticPlate&) {
                                 return FillingExtent{0, 0, {0}, false, false};
                               },
                               [](const TaperedCylinder&) {
                                 return FillingExtent{0, 0, {0}, false, false};
                               },
                               [](const auto&) {
                                 return FillingExtent{0, 0, {0}, false, true};
                               }},
                    std::get<Specimen>(geometry));
}

void set_layout(Geometry& geometry, const std::vector<CuttingPlane>& layout) {
  if (auto* tooth = std::get_if<ToothCase>(&geometry)) {
    tooth->layout = layout;
    return;
  }
  Specimen& specimen = std::get<Specimen>(geometry);
  if (auto* joint = std::get_if<ButtJoint>(&specimen)) joint->layout = layout;
  if (auto* mould = std::get_if<FlexingMould>(&specimen)) mould->layout = layout;
}

std::string kind_of(const Geometry& geometry) {
  const auto* tooth = std::get_if<ToothCase>(&geometry);
  if (tooth != nullptr) return preparation_kinds[static_cast<std::size_t>(tooth->preparation.kind)];
  return specimen_kinds[std::get<Specimen>(geometry).index()];
}

}  // namespace setstress
