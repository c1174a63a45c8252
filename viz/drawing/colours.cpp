#include "viz/drawing/colours.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace setstress {
namespace {

constexpr std::array<double, 3> white{0.95047, 1.0, 1.08883};  // D65

double to_linear(double channel) {
  return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}
double from_linear(double channel) {
  const double clipped = std::clamp(channel, 0.0, 1.0);
  return clipped <= 0.0031308 ? 12.92 * clipped : 1.055 * std::pow(clipped, 1 / 2.4) - 0.055;
}
double inverse_cube(double f) {
  return f > 6.0 / 29 ? f * f * f : 3 * (6.0 / 29) * (6.0 / 29) * (f - 4.0 / 29);
}

double mix(double from, double to, double share) {
  return from + share * (to - from);
}

struct Lch {
  double lightness, chroma, hue;
};
Colour between(const Lch& from, const Lch& to, double share) {
  return from_lch(mix(from.lightness, to.lightness, share), mix(from.chroma, to.chroma, share),
                  mix(from.hue, to.hue, share));
}

}  // namespace

Colour from_lch(double lightness, double chroma, double hue_degrees) {
  const double hue = hue_degrees * std::numbers::pi / 180;
  const double fy = (lightness + 16) / 116;
  const double x = white[0] * inverse_cube(fy + chroma * std::cos(hue) / 500);
  const double y = white[1] * inverse_cube(fy);
  const double z = white[2] * inverse_cube(fy - chroma * std::sin(hue) / 200);
  return {from_linear(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
          from_linear(-0.9692660 * x + 1.8760108 * y + 0.0415560 * z),
          from_linear(0.0556434 * x - 0.2040259 * y + 1.0572252 * z)};
}

double lightness(const Colour& colour) {
  const double y =
      0.2126729 * to_linear(colour[0]) + 0.7151522 * to_linear(colour[1]) + 0.0721750 * to_linear(colour[2]);
  return y > 216.0 / 24389 ? 116 * std::cbrt(y) - 16 : y * 24389 / 27;
}

std::string hex(const Colour& colour) {
  std::string text = "#";
  for (const double channel : colour) text += fmt::format("{:02x}", static_cast<int>(255 * channel + 0.5));
  return text;
}

Colour ratio_colour(double ratio, double top) {
  if (ratio < 1) return between({96, 6, 230}, {62, 34, 262}, std::max(ratio, 0.0));
  return between({60, 78, 55}, {24, 40, 40}, std::clamp((ratio - 1) / (top - 1), 0.0, 1.0));
}

Colour stress_colour(double stress, double top) {
  return between({95, 20, 100}, {25, 45, 320}, std::clamp(stress / top, 0.0, 1.0));
}

Colour pressure_colour(double stress, const Colour& at_zero) {
  if (stress < -clear_pressure) return from_lch(80, 0, 0);
  const Colour neutral = from_lch(93, 0, 0);
  const double share = std::clamp(-stress / clear_pressure, 0.0, 1.0);
  Colour colour;
  for (std::size_t c = 0; c < colour.size(); ++c) colour[c] = mix(at_zero[c], neutral[c], share);
  return colour;
}

Colour single_hue(double share, double hue_degrees) {
  return between({96, 8, hue_degrees}, {28, 44, hue_degrees}, std::clamp(share, 0.0, 1.0));
}

}  // namespace setstress
