#pragma once
// Private to viz/: a page of panels of tooth and filling with one scale.

#include <functional>
#include <memory>

#include "viz/pictures/bond_sheet.hpp"

namespace setstress::viz {

struct BodySheet {
  std::string title;
  std::vector<std::array<std::string, 2>> headings;  ///< by panel: large and small line
  Scale scale;
  std::array<std::string, 2> beside_scale;  ///< large and small line
  int width;                                ///< [pixels]
  std::optional<int> height;
  Background background;
  /// Draws a panel into its box; `pixel` is the size of a design pixel.
  std::function<void(Canvas& canvas, const Box& box, std::size_t panel, double pixel)> draw;
};

/// Of several results a panel is headed by its name, which has the large line to itself.
std::array<std::string, 2> body_heading(const std::string& name, const std::string& instant,
                                        const std::string& what, std::size_t results);

std::unique_ptr<Canvas> compose(const BodySheet& sheet);

}  // namespace setstress::viz
