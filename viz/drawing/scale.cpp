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
                 hue_of_conversion = 150;

Scale plain(const char* name, const char* note, double top, bool open_ended, double hue) {
  return {.name = name,
          .note = note,
          .low = 0,
          .top = top,
          .open_ended = open_ended,
          .mark = {},
          .mark_text = {},
          .colour = [top, hue](double value) { return single_hue(value / top, hue); }};
}

}  // namespace

Scale ratio_scale(double top) {
  return {.name = "stress-to-strength ratio [-]",
          .note = "load on the bond over its strength now",
          .low = 0,
          .top = top,
          .open_ended = true,
          .mark = 1.0,
          .mark_text = "bond strength reached",
          .colour = [top](double value) { return ratio_colour(value, top); }};
}

Scale strength_lost_scale() {
  return plain("share of bond strength lost [-]", "line: rim of what has let go", 1, false,
               hue_of_strength_lost);
}

Scale gap_scale(double top) {
  return plain("gap where debonded [um]", "line: rim of what has let go", top, true, hue_of_gap);
}

Scale stress_scale(double top) {
  return {.name = "largest principal stress [MPa]",
          .note = "tension positive; grey: pressed from all sides",
          .low = -0.2 * top,
          .top = top,
          .open_ended = true,
          .mark = {},
          .mark_text = {},
          .colour = [top](double value) { return stress_colour(value, top); }};
}

Scale displacement_scale(double top) {
  return plain("displacement [um]", "how far each point has moved", top, true, hue_of_displacement);
}

Scale conversion_scale() {
  return plain("relative conversion of the composite [-]", "0 soft paste, 1 set as far as it will", 1, false,
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
      return {"strength_lost", 1};
    case BondField::gap:
      return {"gap", 1000};
  }
  throw std::logic_error("a quantity on the bond without an array");
}

double round_up(double high) {
  const double decade = std::pow(10, std::floor(std::log10(high)));
  constexpr std::array<double, 9> rounds{1, 1.2, 1.6, 2, 2.4, 3, 4, 6, 8};
  const auto* enough =
      std::ranges::find_if(rounds, [&](double each) { return each * decade >= high * (1 - 1e-9); });
  return decade * (enough == rounds.end() ? 10 : *enough);
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
