#include "viz/drawing/scale.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace setstress::viz {
namespace {

/// Hues [degrees] of the scales of one hue. The ratio has blue and orange, stress runs from yellow to purple.
constexpr double hue_of_strength_lost = 100, hue_of_gap = 5, hue_of_displacement = 200,
                 hue_of_conversion = 150, hue_of_pull = 290, hue_of_shear = 325;

Scale plain(const char* key, const char* quantity, const char* unit, const char* note, double top,
            bool open_ended, double hue) {
  return {.key = key,
          .quantity = quantity,
          .unit = unit,
          .note = note,
          .low = 0,
          .top = top,
          .open_ended = open_ended,
          .mark = {},
          .mark_text = {},
          .line = {},
          .below_zero = {},
          .colour = [top, hue](double value) { return single_hue(value / top, hue); }};
}

Scale with_front(Scale scale) {
  scale.line = "rim of what has let go";
  return scale;
}

/// With `below_zero`, which is what values below zero mean.
Scale with_pressure(Scale scale, const char* below_zero) {
  scale.low = -std::max(0.2 * scale.top, 1.25 * clear_pressure);
  scale.below_zero = below_zero;
  scale.colour = [positive = std::move(scale.colour)](double value) {
    return value < 0 ? pressure_colour(value, positive(0)) : positive(value);
  };
  return scale;
}

}  // namespace

std::string Scale::name() const {
  return unit.empty() ? quantity : fmt::format("{} [{}]", quantity, unit);
}

Scale ratio_scale(double top) {
  return {.key = "ratio",
          .quantity = "stress-to-strength ratio",
          .unit = "",
          .note = "load on the bond over its strength now",
          .low = 0,
          .top = top,
          .open_ended = true,
          .mark = 1.0,
          .mark_text = "bond strength reached",
          .line = {},
          .below_zero = {},
          .colour = [top](double value) { return ratio_colour(value, top); }};
}

Scale strength_lost_scale() {
  return with_front(
      plain("lost", "bond strength lost", "%", "100 % is debonded", 100, false, hue_of_strength_lost));
}

Scale gap_scale(double top) {
  return with_front(plain("gap", "gap", "µm", "opening where debonded", top, true, hue_of_gap));
}

Scale stress_scale(double top) {
  Scale scale = plain("stress", "largest principal stress", "MPa", "tension positive", top, true, 0);
  scale.colour = [top](double value) { return stress_colour(value, top); };
  return with_pressure(std::move(scale), "pressed from all sides");
}

Scale pull_scale(double top) {
  return with_pressure(plain("normal", "normal traction on the bond", "MPa", "pull straight off the wall",
                             top, true, hue_of_pull),
                       "pressed onto the wall");
}

Scale shear_scale(double top) {
  return plain("shear", "shear traction on the bond", "MPa", "pull along the wall", top, true, hue_of_shear);
}

Scale displacement_scale(double top) {
  return plain("displacement", "displacement", "µm", "how far each point has moved", top, true,
               hue_of_displacement);
}

Scale conversion_scale() {
  return plain("conversion", "conversion", "%", "of the conversion the composite can reach", 100, false,
               hue_of_conversion);
}

Scale scale_of(BondField field, double top) {
  switch (field) {
    case BondField::ratio:
      return ratio_scale(top);
    case BondField::strength_lost:
      return strength_lost_scale();
    case BondField::gap:
      return gap_scale(top);
  }
  throw std::logic_error("a quantity on the bond without a scale");
}

FieldSource source_of(BondField field) {
  switch (field) {
    case BondField::ratio:
      return {"stress_to_strength_ratio", 1};
    case BondField::strength_lost:
      return {"strength_lost", 100};
    case BondField::gap:
      return {"gap", 1000};
  }
  throw std::logic_error("a quantity on the bond without an array");
}

double round_up(double high) {
  const double decade = std::pow(10, std::floor(std::log10(high)));
  const auto* enough =
      std::ranges::find_if(round_ends, [&](double each) { return each * decade >= high * (1 - 1e-9); });
  return decade * (enough == round_ends.end() ? 10 : *enough);
}

std::vector<double> ticks_of(const Scale& scale) {
  double step = scale.top / 4;
  if (scale.mark) step = scale.top <= 2 ? 0.25 : scale.top <= 4 ? 0.5 : 1.0;  // so that the mark is a tick
  std::vector<double> ticks;
  for (int i = 0; i * step < scale.top * (1 + 1e-9); ++i) ticks.push_back(i * step);
  if (scale.top - ticks.back() > 0.6 * step)
    ticks.push_back(scale.top);
  else
    ticks.back() = scale.top;
  return ticks;
}

std::string tick_text(const Scale& scale, double value) {
  const bool last = value > scale.top * (1 - 1e-9);
  return fmt::format("{:.3g}{}", value, last && scale.open_ended ? " or more" : "");
}

}  // namespace setstress::viz
