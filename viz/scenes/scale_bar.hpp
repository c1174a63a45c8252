#pragma once
// Private to viz/: the labelled bar of a scale, with what the looks of the bond beside it mean.

#include "viz/drawing/drawing.hpp"
#include "viz/drawing/scale.hpp"
#include "viz/surface/surface_lines.hpp"

namespace setstress::viz {

/// Of a bond that is losing strength or has let go, where the ratio is shown.
Colour colour_of(Looks looks);

/// Name and note at the left of `box`, the bar to their right, then the keys of the looks `seen` other than
/// holding. `unit` is the size of a design pixel. Returns where the next thing may stand.
double draw_scale_bar(Drawing& drawing, const Box& box, const Scale& scale, double unit,
                      const std::vector<Looks>& seen = {});

}  // namespace setstress::viz
