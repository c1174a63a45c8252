#include "mesh/tooth/cavity_form.hpp"

#include <cmath>
#include <numbers>

namespace setstress {
namespace {

using Kind = Preparation::Kind;

/// Open sides reach this far out of the tooth, beyond the rounding and the taper of the end that is cut away
/// [mm].
double overshoot(const WallProfile& profile) {
  return 1 + 2 * profile.radius + std::abs(profile.top_offset()) + std::abs(profile.offset(profile.top));
}

WallProfile profile(const Tooth& tooth, const Preparation& preparation, double depth) {
  return {.floor = tooth.crown_height - depth,
          .top = tooth.crown_height,
          .taper = preparation.taper * std::numbers::pi / 180,
          .radius = preparation.line_angle_radius,
          .bevel = preparation.bevel};
}

/// Mirrors a rectangle given for the mesial side.
FloorRectangle on_side(const FloorRectangle& r, Side side) {
  if (side == Side::mesial) return r;
  return {.x_min = -r.x_max, .x_max = -r.x_min, .y_min = r.y_min, .y_max = r.y_max};
}

/// Proximal box, with or without step, written for the mesial side and mirrored where it is distal.
CavityForm proximal_form(const Tooth& tooth, const Preparation& preparation) {
  const double mirror = preparation.side == Side::mesial ? 1 : -1;
  const double outside = -0.5 * tooth.length;
  const double axial = outside + preparation.length;
  const WallProfile walls = profile(tooth, preparation, preparation.depth);
  const auto across = [&](double x_min, double x_max, double width) {
    return on_side({x_min, x_max, preparation.offset_y - 0.5 * width, preparation.offset_y + 0.5 * width},
                   preparation.side);
  };
  CavityForm form;
  form.box = {across(outside - overshoot(walls), axial, preparation.width), walls};
  form.axial_x = mirror * axial;
  if (preparation.kind == Kind::proximal_box_with_step) {
    const WallProfile step_walls = profile(tooth, preparation, preparation.step_depth);
    const double start = axial + walls.offset(step_walls.floor);
    const double end = start + preparation.step_length;
    form.step = {across(outside - overshoot(walls), end, preparation.step_width), step_walls};
    form.step_axial_x = mirror * start;
    form.step_end_x = mirror * end;
  }
  (preparation.side == Side::mesial ? form.open_mesial : form.open_distal) = true;
  return form;
}

}  // namespace

double WallProfile::inset() const {
  return radius * (1 - std::sin(taper)) / std::cos(taper);
}

double WallProfile::offset(double z) const {
  return (z - floor) * std::tan(taper);
}

double WallProfile::top_offset() const {
  return offset(top - bevel) + bevel;
}

CavityForm cavity_form(const Tooth& tooth, const Preparation& preparation) {
  const WallProfile walls = profile(tooth, preparation, preparation.depth);
  const double y_min = preparation.offset_y - 0.5 * preparation.width;
  const double y_max = preparation.offset_y + 0.5 * preparation.width;
  CavityForm form;
  switch (preparation.kind) {
    case Kind::proximal_box:
    case Kind::proximal_box_with_step:
      form = proximal_form(tooth, preparation);
      break;
    case Kind::occlusal_box:
      form.box = {{preparation.offset_x - 0.5 * preparation.length,
                   preparation.offset_x + 0.5 * preparation.length, y_min, y_max},
                  walls};
      break;
    case Kind::through_box: {
      const double reach = 0.5 * tooth.length + overshoot(walls);
      form.box = {{-reach, reach, y_min, y_max}, walls};
      form.open_mesial = form.open_distal = true;
      break;
    }
    case Kind::cylinder:
      form.cylinder = {preparation.offset_x, preparation.offset_y, 0.5 * preparation.diameter, walls};
      break;
  }
  form.centre_y = preparation.offset_y;
  return form;
}

}  // namespace setstress
