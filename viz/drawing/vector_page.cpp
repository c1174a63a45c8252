#include "viz/drawing/vector_page.hpp"

namespace setstress::viz {
namespace {

/// Thousandths of the size, from space to tilde: Adobe core 14 font metrics, Helvetica.
constexpr std::array<int, 95> helvetica{
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333,  278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667,  611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278,  556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500,  500, 334, 260, 334, 584};
constexpr double bold_is_wider = 1.06;

}  // namespace

double text_width(const std::string& text, const TextStyle& style) {
  double thousandths = 0;
  for (const char c : text)
    thousandths += c >= ' ' && c <= '~' ? helvetica[static_cast<std::size_t>(c - ' ')] : 556;
  return 1e-3 * style.size * thousandths * (style.bold ? bold_is_wider : 1);
}

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
