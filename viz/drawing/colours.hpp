#pragma once
// Colours of the pictures. Lightness falls steadily along each scale, so that it survives greyscale printing
// and every kind of colour vision.

#include <array>
#include <string>

namespace setstress {

/// sRGB, each in [0, 1].
using Colour = std::array<double, 3>;

/// From CIE lightness [0, 100], chroma and hue [degrees] (CIELCh, white D65), clipped to sRGB. Formulas: CIE
/// 15:2004 and IEC 61966-2-1.
Colour from_lch(double lightness, double chroma, double hue_degrees);
/// CIE lightness [0, 100].
double lightness(const Colour& colour);

/// "#rrggbb", as style sheets write it.
std::string hex(const Colour& colour);

/// Colour at a stress-to-strength ratio, on a scale that ends at `top` (> 1): pale to middle blue below 1,
/// orange to dark brown from 1 on, so that reaching the bond strength is a jump of hue, from the one pair of
/// hues that all kinds of colour vision keep apart. Clamped to [0, top].
Colour ratio_colour(double ratio, double top);

/// Colour of a stress [MPa] on a scale from 0 (pale) to `top` (dark), clamped.
Colour stress_colour(double stress, double top);

/// Pressure up to this [MPa] is hardly told from zero: there the mesh decides the sign.
constexpr double clear_pressure = 2;
/// Colour of a stress below zero [MPa]: from `at_zero` fading to a neutral one, grey beyond `clear_pressure`.
Colour pressure_colour(double stress, const Colour& at_zero);

/// One hue [degrees] from pale (`share` 0) to dark (1), clamped: for quantities that have no value of special
/// meaning between their ends.
Colour single_hue(double share, double hue_degrees);

}  // namespace setstress
