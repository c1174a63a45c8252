#pragma once
// Private to viz/: the bond in a view, in space or as the opened box.

#include <functional>

#include "viz/canvas.hpp"
#include "viz/surface_lines.hpp"
#include "viz/viewpoint.hpp"

namespace setstress::viz {

/// How the bond is coloured and how thick lines are.
struct BondLook {
  double scale_top;  ///< upper end of the ratio scale
  double pixel;      ///< size of a design pixel on this page
};

void draw_in_space(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                   const Viewpoint& viewpoint, const BondLook& look);

/// With wall names and a bar of 1 mm. `extent`: what the view must hold [mm], low and high corner.
void draw_opened(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Eigen::Vector2d, 2>& extent, const BondLook& look);

/// Labelled bar of the ratio scale, with what the other looks of the bond that are `seen` mean. Runs along
/// the width of `box`.
void draw_ratio_bar(Canvas& canvas, const Box& box, const BondLook& look, const std::vector<Looks>& seen);

}  // namespace setstress::viz
