#include "viz/pictures/body_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/scenes/scale_bar.hpp"
#include "viz/words/caution.hpp"

namespace setstress::viz {
namespace {

/// In design pixels.
constexpr double title_height = 60, foot_height = 124, wide = 1500, single_height = 816, row_height = 640;

}  // namespace

std::array<std::string, 2> body_heading(const std::string& name, const std::string& instant,
                                        const std::string& what, std::size_t results) {
  if (results == 1) return {instant, what};
  return {name, fmt::format("{}; {}", instant, what)};
}

std::unique_ptr<Canvas> compose(const BodySheet& sheet) {
  const std::size_t count = sheet.headings.size(), columns = columns_for(count),
                    rows = rows_for(count, columns);
  const double panels_height = count == 1 ? single_height : static_cast<double>(rows) * row_height;
  const double design_height = title_height + panels_height + foot_height;
  const int height = sheet.height.value_or(static_cast<int>(std::lround(sheet.width / wide * design_height)));
  const double unit = std::min(sheet.width / wide, height / design_height);
  auto canvas = std::make_unique<Canvas>(sheet.width, height, sheet.background);
  canvas->add_text(20 * unit, height - 34 * unit, sheet.title,
                   fitted(sheet.title, {.size = 26 * unit, .bold = true}, sheet.width - 40 * unit));
  const double top = height - title_height * unit;
  const Box cell{0, 0, sheet.width / static_cast<double>(columns),
                 (top - foot_height * unit) / static_cast<double>(rows)};
  for (std::size_t p = 0; p < count; ++p) {
    const double left = cell.width * static_cast<double>(p % columns) + 20 * unit;
    const double cell_top = top - cell.height * static_cast<double>(p / columns);
    add_heading(*canvas, left, cell_top - 18 * unit, cell.width - 40 * unit, unit, sheet.headings[p][0],
                sheet.headings[p][1]);
    sheet.draw(*canvas, {left, cell_top - cell.height, cell.width - 40 * unit, cell.height - 60 * unit}, p,
               unit);
  }
  const double right =
      draw_scale_bar(*canvas, {20 * unit, 34 * unit, sheet.width - 40 * unit, 90 * unit}, sheet.scale, unit);
  add_heading(*canvas, right, 88 * unit, sheet.width - 20 * unit - right, 0.81 * unit, sheet.beside_scale[0],
              sheet.beside_scale[1]);
  canvas->add_text(20 * unit, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  return canvas;
}

}  // namespace setstress::viz
