#include "viz/drawing/vector_page.hpp"

namespace setstress::viz {
void VectorPage::add_text(double x, double y, const std::string& text, const TextStyle& style) {
  shapes_.push_back(Text{x, y, text, style});
}

void VectorPage::add_polygon(const std::vector<FlatPoint>& corners, const Colour& colour) {
  add_polygons({corners}, colour);
}

void VectorPage::add_path(const std::vector<FlatPoint>& points, double line_width, const Colour& colour,
                          bool dashed) {
  shapes_.push_back(Stroke{{points}, line_width, colour, dashed});
}

void VectorPage::add_polygons(std::vector<std::vector<FlatPoint>> polygons, const Colour& colour) {
  if (!polygons.empty()) shapes_.push_back(Fill{std::move(polygons), colour});
}

void VectorPage::add_paths(std::vector<std::vector<FlatPoint>> paths, double line_width,
                           const Colour& colour) {
  if (!paths.empty()) shapes_.push_back(Stroke{std::move(paths), line_width, colour, false});
}

}  // namespace setstress::viz
