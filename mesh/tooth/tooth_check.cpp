#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "mesh/tooth/tooth.hpp"

namespace setstress {
namespace {

using Kind = Preparation::Kind;

constexpr double least_tooth =
    0.5;  ///< left between cavity and outside where it is not meant to be open [mm]
constexpr double least_over_pulp = 0.3;  ///< of dentin between cavity and pulp [mm]
constexpr double least_flat = 0.1;       ///< of floor or wall between rounded line angles [mm]
constexpr double steepest_closing = -10, widest_opening = 30;  ///< taper, degrees

/// Refuses `value` [mm] outside [least, most]; `why` says what the limits stand for.
void require_within(const char* key, double value, double least, double most, const std::string& why) {
  if (value >= least && value <= most) return;
  throw GeometryError(key, fmt::format("{} is {:.4g} mm; must be between {:.4g} and {:.4g} mm {}", key, value,
                                       least, most, why));
}

void require_positive(const char* key, double value) {
  if (value > 0 && std::isfinite(value)) return;
  throw GeometryError(key, fmt::format("{} is {:.4g} mm; must be greater than 0", key, value));
}

void require_not_negative(const char* key, double value) {
  if (value >= 0 && std::isfinite(value)) return;
  throw GeometryError(key, fmt::format("{} is {:.4g} mm; must be 0 or more", key, value));
}

void check_tooth(const Tooth& tooth) {
  require_positive("tooth.length", tooth.length);
  require_positive("tooth.width", tooth.width);
  require_positive("tooth.crown_height", tooth.crown_height);
  require_positive("tooth.root_depth", tooth.root_depth);
  const double half = 0.5 * std::min(tooth.length, tooth.width);
  require_within("tooth.edge_radius", tooth.edge_radius, 0, half - least_flat,
                 "(less than half of the tooth's smaller horizontal size)");
  require_within("tooth.occlusal_enamel", tooth.occlusal_enamel, 0, tooth.crown_height - least_tooth,
                 "(dentin must be left in the crown)");
  require_within("tooth.side_enamel", tooth.side_enamel, 0,
                 half - std::max(least_tooth, tooth.edge_radius + least_flat),
                 "(dentin must be left inside the side enamel, with edges as round as outside)");
}

void check_pulp(const Tooth& tooth) {
  if (!tooth.pulp) return;
  const double around = 2 * (tooth.side_enamel + least_tooth);
  require_within("tooth.pulp.length", tooth.pulp->length, least_flat, tooth.length - around,
                 "(dentin must be left around the chamber)");
  require_within("tooth.pulp.width", tooth.pulp->width, least_flat, tooth.width - around,
                 "(dentin must be left around the chamber)");
  require_within("tooth.pulp.roof", tooth.pulp->roof, least_flat - tooth.root_depth,
                 tooth.crown_height - tooth.occlusal_enamel - least_over_pulp,
                 "(above the base and below the occlusal enamel)");
}

void check_walls(const Tooth& tooth, const Preparation& preparation) {
  require_within("preparation.depth", preparation.depth, 2 * least_flat,
                 tooth.crown_height + tooth.root_depth - least_tooth,
                 fmt::format("(the floor must lie {} mm above the bottom of the root stub)", least_tooth));
  if (!(preparation.taper >= steepest_closing && preparation.taper <= widest_opening))
    throw GeometryError("preparation.taper",
                        fmt::format("preparation.taper is {:.4g} degrees; must be between {} and {}",
                                    preparation.taper, steepest_closing, widest_opening));
  require_not_negative("preparation.line_angle_radius", preparation.line_angle_radius);
  require_not_negative("preparation.bevel", preparation.bevel);
  if (preparation.bevel > 0)
    require_within("preparation.bevel", preparation.bevel, 0, tooth.occlusal_enamel,
                   "(a bevel lies in the occlusal enamel)");
}

/// The line angles' rounding and the bevel must leave some wall between them.
void check_wall_height(const WallProfile& walls, const char* depth_key, double depth) {
  const double rounded = walls.radius * (1 - std::sin(walls.taper));
  if (walls.bevel + least_flat > depth)
    throw GeometryError(
        "preparation.bevel",
        fmt::format("preparation.bevel is {:.4g} mm; must be at most {:.4g} mm in a cavity whose {} is "
                    "{:.4g} mm",
                    walls.bevel, depth - least_flat, depth_key, depth));
  const double room = (depth - walls.bevel - least_flat) / (1 - std::sin(walls.taper));
  if (rounded > depth - walls.bevel - least_flat)
    throw GeometryError(
        "preparation.line_angle_radius",
        fmt::format("preparation.line_angle_radius is {:.4g} mm; must be at most {:.4g} mm to leave "
                    "some wall above it ({} is {:.4g} mm)",
                    walls.radius, room, depth_key, depth));
}

/// One horizontal size of the cavity at the floor, with the room for it.
struct Span {
  const char* key;
  double size;      ///< at the floor [mm]
  double allowed;   ///< largest size at the floor that leaves enough tooth [mm]
  int round_walls;  ///< how many of its two ends are walls with a rounded line angle
  const char* offset_key = "";
  double offset = 0;  ///< of its middle from that of the tooth [mm]
};

void check_span(const Span& span, const WallProfile& walls) {
  if (span.allowed < 2 * least_flat && span.offset != 0)
    throw GeometryError(
        span.offset_key,
        fmt::format("{} is {:.4g} mm; so far from the middle of the tooth no {} is possible: {} mm of tooth "
                    "must be left beside the cavity, its taper and bevel",
                    span.offset_key, span.offset, span.key, least_tooth));
  require_within(
      span.key, span.size, 2 * least_flat, span.allowed,
      fmt::format("(at the floor; with the taper and bevel {} mm of tooth must be left)", least_tooth));
  const double open_by =
      span.round_walls * std::min(walls.top_offset(), walls.offset(walls.top - walls.bevel));
  if (span.size + open_by < 2 * least_flat)
    throw GeometryError(
        "preparation.taper",
        fmt::format("preparation.taper closes the cavity: {} is {:.4g} mm at the floor and {:.4g} mm "
                    "at the top; must be at least {} mm",
                    span.key, span.size, span.size + open_by, 2 * least_flat));
  const double flat = span.size - span.round_walls * walls.inset();
  if (walls.radius > 0 && flat < least_flat)
    throw GeometryError(
        "preparation.line_angle_radius",
        fmt::format(
            "preparation.line_angle_radius is {:.4g} mm; must be at most {:.4g} mm for the {} of {:.4g} mm",
            walls.radius, walls.radius * (span.size - least_flat) / (span.round_walls * walls.inset()),
            span.key, span.size));
}

/// Room for a size centred at `offset` within `outer`, when both its walls lean outward [mm].
double centred_room(double outer, double offset, const WallProfile& walls) {
  const double lean = std::max(0.0, std::max(walls.top_offset(), walls.offset(walls.top)));
  return outer - 2 * (std::abs(offset) + lean + least_tooth);
}

/// Room for a size that starts at the open side, when its one wall leans outward [mm].
double proximal_room(double outer, const WallProfile& walls) {
  return outer - std::max(0.0, std::max(walls.top_offset(), walls.offset(walls.top))) - least_tooth;
}

void check_step(const Tooth& tooth, const Preparation& preparation, const CavityForm& form) {
  const WallProfile& walls = form.step->profile;
  const double rounded = walls.radius * (1 - std::sin(walls.taper));
  require_within("preparation.step_depth", preparation.step_depth, 2 * least_flat,
                 preparation.depth - rounded - least_flat,
                 "(the step must be shallower than the box and leave some axial wall)");
  check_wall_height(walls, "preparation.step_depth", preparation.step_depth);
  const double box_width = preparation.width + 2 * form.box->profile.offset(walls.floor);
  require_within("preparation.step_width", preparation.step_width, 2 * least_flat, box_width,
                 "(the isthmus is no wider than the box at the pulpal floor)");
  check_span({"preparation.step_width", preparation.step_width,
              centred_room(tooth.width, preparation.offset_y, walls), 2, "preparation.offset_y",
              preparation.offset_y},
             walls);
  const double start = 0.5 * tooth.length + (form.open_mesial ? form.step_axial_x : -form.step_axial_x);
  check_span(
      {"preparation.step_length", preparation.step_length, proximal_room(tooth.length, walls) - start, 1},
      walls);
}

void check_box(const Tooth& tooth, const Preparation& preparation, const CavityForm& form) {
  const WallProfile& walls = form.box->profile;
  check_wall_height(walls, "preparation.depth", preparation.depth);
  check_span({"preparation.width", preparation.width, centred_room(tooth.width, preparation.offset_y, walls),
              2, "preparation.offset_y", preparation.offset_y},
             walls);
  if (preparation.kind == Kind::occlusal_box)
    check_span(
        {"preparation.length", preparation.length, centred_room(tooth.length, preparation.offset_x, walls), 2,
         "preparation.offset_x", preparation.offset_x},
        walls);
  else if (preparation.kind != Kind::through_box)
    check_span({"preparation.length", preparation.length, proximal_room(tooth.length, walls), 1}, walls);
  if (form.step) check_step(tooth, preparation, form);
}

void check_cylinder(const Tooth& tooth, const Preparation& preparation, const CavityForm& form) {
  const WallProfile& walls = form.cylinder->profile;
  check_wall_height(walls, "preparation.depth", preparation.depth);
  const double room = std::min(centred_room(tooth.length, preparation.offset_x, walls),
                               centred_room(tooth.width, preparation.offset_y, walls));
  check_span({"preparation.diameter", preparation.diameter, room, 2}, walls);
}

/// The floor must clear the pulp where the cavity, as wide as it is at the roof, comes over or beside it.
void check_over_pulp(const Tooth& tooth, const FloorRectangle& r, const WallProfile& walls,
                     const char* depth_key) {
  const double roof = tooth.pulp->roof + least_over_pulp;
  if (walls.floor >= roof) return;
  const double widened = std::max(0.0, walls.offset(std::min(roof, walls.top))) + least_over_pulp;
  const double half_x = 0.5 * tooth.pulp->length + widened, half_y = 0.5 * tooth.pulp->width + widened;
  if (r.x_min >= half_x || r.x_max <= -half_x || r.y_min >= half_y || r.y_max <= -half_y) return;
  throw GeometryError(
      depth_key,
      fmt::format("{} is {:.4g} mm, which takes the cavity into the pulp or closer to it than {} mm; "
                  "must be at most {:.4g} mm there, or the walls must clear the chamber",
                  depth_key, walls.top - walls.floor, least_over_pulp, walls.top - roof));
}

void check_clear_of_pulp(const Tooth& tooth, const CavityForm& form) {
  if (!tooth.pulp) return;
  if (form.box) check_over_pulp(tooth, form.box->rectangle, form.box->profile, "preparation.depth");
  if (form.step) check_over_pulp(tooth, form.step->rectangle, form.step->profile, "preparation.step_depth");
  if (const auto& round = form.cylinder)
    check_over_pulp(tooth,
                    {round->x - round->radius, round->x + round->radius, round->y - round->radius,
                     round->y + round->radius},
                    round->profile, "preparation.depth");
}

void check_layout_normals(const std::vector<CuttingPlane>& layout) {
  for (std::size_t index = 0; index < layout.size(); ++index)
    if (!(layout[index].normal.norm() > 0 && layout[index].normal.allFinite() &&
          layout[index].point.allFinite()))
      throw GeometryError("layout",
                          fmt::format("layout: plane {} has no direction; its normal must not be zero, and "
                                      "its numbers must be finite",
                                      index + 1),
                          index + 1);
}

}  // namespace

void check_tooth_case(const ToothCase& tooth_case) {
  const auto& [tooth, preparation, layout] = tooth_case;
  check_tooth(tooth);
  check_pulp(tooth);
  check_walls(tooth, preparation);
  const CavityForm form = cavity_form(tooth, preparation);
  if (form.cylinder)
    check_cylinder(tooth, preparation, form);
  else
    check_box(tooth, preparation, form);
  check_clear_of_pulp(tooth, form);
  check_layout_normals(layout);
}

}  // namespace setstress
