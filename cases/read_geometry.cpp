#include "cases/read_geometry.hpp"

#include <algorithm>
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
constexpr Quantity specimen_size{"mm", 0.01, 5000};
constexpr Quantity no_thickness{"mm", 0, 5000};

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

/// Reads the sizes of one kind of specimen; `size` reads a length above 0, `size_or_none` one that may be 0.
struct SpecimenReader {
  const Section& section;
  [[nodiscard]] double size(const char* key, double fallback) const {
    return section.number(key, specimen_size, fallback);
  }
  [[nodiscard]] double size_or_none(const char* key, double fallback) const {
    return section.number(key, no_thickness, fallback);
  }

  void operator()(ButtJoint& s) const {
    s.length = size("length", s.length);
    s.width = size("width", s.width);
    s.height = size("height", s.height);
    s.adherend_height = size_or_none("adherend_height", s.adherend_height);
  }
  void operator()(DiscBetweenPlates& s) const {
    s.diameter = size("diameter", s.diameter);
    s.height = size("height", s.height);
    s.plate_thickness = size_or_none("plate_thickness", s.plate_thickness);
  }
  void operator()(BimaterialStrip& s) const {
    s.length = size("length", s.length);
    s.width = size("width", s.width);
    s.substrate_thickness = size("substrate_thickness", s.substrate_thickness);
    s.filling_thickness = size("filling_thickness", s.filling_thickness);
  }
  void operator()(PlugInRing& s) const {
    s.plug_radius = size("plug_radius", s.plug_radius);
    s.ring_radius = size("ring_radius", s.ring_radius);
    s.height = size("height", s.height);
  }
  void operator()(BallInShell& s) const {
    s.ball_radius = size("ball_radius", s.ball_radius);
    s.shell_radius = size("shell_radius", s.shell_radius);
  }
  void operator()(FlexingMould& s) const {
    s.slot_width = size("slot_width", s.slot_width);
    s.slot_length = size("slot_length", s.slot_length);
    s.slot_depth = size("slot_depth", s.slot_depth);
    s.wall_thickness = size("wall_thickness", s.wall_thickness);
    s.base_thickness = size("base_thickness", s.base_thickness);
  }
  void operator()(FreeBlock& s) const {
    s.length = size("length", s.length);
    s.width = size("width", s.width);
    s.height = size("height", s.height);
  }
  void operator()(LapJoint& s) const {
    s.overlap = size("overlap", s.overlap);
    s.width = size("width", s.width);
    s.thickness = size("thickness", s.thickness);
    s.free_length = size_or_none("free_length", s.free_length);
  }
  void operator()(DoubleCantileverBeam& s) const {
    s.length = size("length", s.length);
    s.width = size("width", s.width);
    s.arm_height = size("arm_height", s.arm_height);
    s.crack_length = size("crack_length", s.crack_length);
  }
  void operator()(LayerOnBase& s) const {
    s.length = size("length", s.length);
    s.width = size("width", s.width);
    s.thickness = size("thickness", s.thickness);
    s.base_thickness = size("base_thickness", s.base_thickness);
  }
  void operator()(EllipticPlate& s) const {
    s.inner_x = size("inner_x", s.inner_x);
    s.inner_y = size("inner_y", s.inner_y);
    s.outer_x = size("outer_x", s.outer_x);
    s.outer_y = size("outer_y", s.outer_y);
    s.thickness = size("thickness", s.thickness);
  }
  void operator()(TaperedCylinder& s) const { s.inner_radius = size("inner_radius", s.inner_radius); }
};

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
  std::visit(SpecimenReader{s}, specimen);
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
    const double top = tooth->tooth.crown_height;
    const bool round = tooth->preparation.kind == Preparation::Kind::cylinder;
    return {top - tooth->preparation.depth, top,
            0.5 * (round ? tooth->preparation.diameter : tooth->preparation.width), true, true};
  }
  return std::visit(Overloaded{[](const ButtJoint& j) {
                                 return FillingExtent{0, j.height, 0.5 * j.width, true, true};
                               },
                               [](const FlexingMould& m) {
                                 return FillingExtent{0, m.slot_depth, 0.5 * m.slot_width, true, true};
                               },
                               [](const FreeBlock&) {
                                 return FillingExtent{0, 0, 0, false, false};
                               },
                               [](const auto&) {
                                 return FillingExtent{0, 0, 0, false, true};
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
