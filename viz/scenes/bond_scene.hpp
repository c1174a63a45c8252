#pragma once
// Private to viz/: the bond in a view, in space or as the opened box.

#include <functional>

#include "viz/drawing/canvas.hpp"
#include "viz/drawing/scale.hpp"
#include "viz/surface/surface_lines.hpp"
#include "viz/surface/viewpoint.hpp"

namespace setstress::viz {

/// How the bond is coloured and how thick lines are.
struct BondLook {
  BondField field;
  Scale scale;   ///< of that field
  double pixel;  ///< size of a design pixel on this page
};

void draw_in_space(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                   const Viewpoint& viewpoint, const BondLook& look);

/// How an opened box lies on the page.
struct OpenedFrame {
  Eigen::Vector2d centre;  ///< of the opened box [mm]
  Eigen::Vector2d middle;  ///< of the page's part [pixels]
  double per_mm;           ///< [pixels]
};
OpenedFrame opened_frame(const Box& box, const std::array<Eigen::Vector2d, 2>& extent, double pixel);
/// Wall names, numbers of gaps where the file has them, and a bar of 1 mm.
void add_opened_names(Drawing& drawing, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                      const OpenedFrame& frame, double pixel);

/// With wall names and a bar of 1 mm. `extent`: what the view must hold [mm], low and high corner.
void draw_opened(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Eigen::Vector2d, 2>& extent, const BondLook& look);

}  // namespace setstress::viz
