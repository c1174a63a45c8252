#pragma once
// Private to viz/: the opened box as shapes.

#include "viz/drawing/vector_page.hpp"
#include "viz/scenes/bond_scene.hpp"

namespace setstress::viz {

/// As draw_opened on a canvas. Colours come in bands, with the scale's mark between two of them.
void draw_opened(VectorPage& page, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Eigen::Vector2d, 2>& extent, const BondLook& look);

}  // namespace setstress::viz
