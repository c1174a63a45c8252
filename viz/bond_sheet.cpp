#include "viz/bond_sheet.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>
#include <stdexcept>

#include "viz/bond_state.hpp"
#include "viz/vtk_files.hpp"

namespace setstress::viz {
namespace {

std::string describe(const BondSurface& bond) {
  const BondState state = judge(bond);
  std::string text = fmt::format("bond strength reached on {:.0f} % of the bond", 100 * state.reached);
  if (state.debonded > 0.0005) text += fmt::format(", debonded {:.0f} %", 100 * state.debonded);
  return text;
}

double scale_top_for(const std::vector<Panel>& panels) {
  double top = 1.5;
  for (const Panel& panel : panels) {
    const Eigen::MatrixXd& ratio = panel.bond.cell_field("stress_to_strength_ratio");
    std::vector<std::array<double, 2>> values;
    for (std::size_t t = 0; t < panel.bond.triangles.size(); ++t)
      values.push_back({ratio(static_cast<Eigen::Index>(t), 0), panel.bond.area(t)});
    top = std::max(top, weighted_percentile(std::move(values), 0.99));
  }
  return std::min(std::ceil(2 * top) / 2, 10.0);
}

/// Heights in design pixels, of which a page is `design_width` wide.
constexpr double top_margin = 60, column_name_height = 36, panel_height = 740, clock_height = 70,
                 bar_height = 90, caution_height = 34;
/// Of a panel, for the opened box.
constexpr double share_flat = 0.5;

double design_width(const Sheet& sheet) {
  return std::max(1600.0, 800.0 * static_cast<double>(sheet.columns));
}
double bottom_height(const Sheet& sheet) {
  return (sheet.clock ? clock_height : 0) + bar_height + caution_height;
}
double design_height(const Sheet& sheet) {
  const auto rows = static_cast<double>(sheet.panels.size() / sheet.columns);
  return top_margin + (sheet.column_names.empty() ? 0 : column_name_height) + rows * panel_height +
         bottom_height(sheet);
}

/// Whether the opened box comes out larger beside the view in space than below it.
bool better_beside(const Box& box, const std::array<Eigen::Vector2d, 2>& extent) {
  const Eigen::Vector2d size = extent[1] - extent[0];
  const double beside = std::min(share_flat * box.width / size.x(), box.height / size.y());
  const double below = std::min(box.width / size.x(), share_flat * box.height / size.y());
  return beside > below;
}

void draw_panel(Canvas& canvas, const Box& box, const Panel& panel, const CommonView& common,
                const BondLook& look) {
  const double unit = look.pixel;
  canvas.add_text(box.left + 20 * unit, box.top() - 18 * unit, panel.heading,
                  {.size = 21 * unit, .bold = true});
  canvas.add_text(box.left + 20 * unit, box.top() - 44 * unit, panel.detail,
                  {.size = 17 * unit, .faint = true});
  const Box views{box.left + 20 * unit, box.bottom, box.width - 40 * unit, box.height - 60 * unit};
  const bool side_by_side = better_beside(views, common.extent);
  const double split = (1 - share_flat) * (side_by_side ? views.width : views.height);
  const Box space = side_by_side ? Box{views.left, views.bottom, split, views.height}
                                 : Box{views.left, views.top() - split, views.width, split};
  const Box flat = side_by_side ? Box{views.left + split, views.bottom, views.width - split, views.height}
                                : Box{views.left, views.bottom, views.width, views.height - split};
  draw_in_space(canvas, space, panel.bond, panel.opened, common.viewpoint, look);
  draw_opened(canvas, flat, panel.bond, panel.opened, common.extent, look);
}

std::vector<Looks> looks_seen(const std::vector<Panel>& panels) {
  std::set<Looks> seen;
  for (const Panel& panel : panels) std::ranges::copy(looks_of(panel.bond), std::inserter(seen, seen.end()));
  return {seen.begin(), seen.end()};
}

/// Title and column names; returns the height that is left below them.
double draw_titles(Canvas& canvas, const Sheet& sheet, double unit) {
  const double column_width = static_cast<double>(canvas.width()) / static_cast<double>(sheet.columns);
  const double top = canvas.height() - top_margin * unit;
  canvas.add_text(20 * unit, canvas.height() - 34 * unit, sheet.title, {.size = 26 * unit, .bold = true});
  for (std::size_t c = 0; c < sheet.column_names.size(); ++c)
    canvas.add_text(static_cast<double>(c) * column_width + 20 * unit, top - 16 * unit, sheet.column_names[c],
                    {.size = 24 * unit, .bold = true});
  return top - (sheet.column_names.empty() ? 0 : column_name_height) * unit;
}

/// The time, how far it has just jumped, and a line along which the animation runs with its jumps marked.
void draw_clock(Canvas& canvas, const Box& box, const Clock& clock, double unit) {
  const Colour alert = from_lch(58, 78, 55);
  const double y = box.bottom + box.height / 2, left = box.left + 480 * unit,
               width = box.right() - left - 20 * unit;
  canvas.add_text(box.left, y, clock.time, {.size = 30 * unit, .bold = true});
  canvas.add_text(box.left + 220 * unit, y, clock.jump, {.size = 18 * unit, .bold = true});
  canvas.add_line(left, y, left + width, y, 2 * unit, canvas.faint_ink());
  for (const double share : clock.jumps_at)
    canvas.add_line(left + share * width - 5 * unit, y - 10 * unit, left + share * width + 5 * unit,
                    y + 10 * unit, 3 * unit, alert);
  const double now = left + clock.share * width;
  canvas.add_polygon({{now, y + 5 * unit}, {now + 9 * unit, y + 20 * unit}, {now - 9 * unit, y + 20 * unit}},
                     canvas.ink());
}

}  // namespace

Panel make_panel(const Result& result, std::size_t frame, const std::string& when) {
  const ResultFrame& chosen = result.frames.at(frame);
  if (chosen.bond.empty())
    throw std::runtime_error(
        fmt::format("{} has no file of the bond at {} s", result.folder.string(), chosen.time));
  Panel panel;
  panel.bond = read_bond(chosen.bond);
  panel.opened = open_box(panel.bond);
  panel.heading = fmt::format("{} {}", when, spoken_time(panel.bond.time));
  if (!panel.bond.event.empty()) panel.heading += fmt::format(" ({})", panel.bond.event);
  panel.detail = describe(panel.bond);
  return panel;
}

CommonView common_view(const std::vector<Panel>& panels) {
  CommonView common{.viewpoint = {},
                    .extent = {panels.at(0).opened.low, panels[0].opened.high},
                    .scale_top = scale_top_for(panels)};
  std::vector<const BondSurface*> bonds;
  for (const Panel& panel : panels) {
    bonds.push_back(&panel.bond);
    common.extent[0] = common.extent[0].cwiseMin(panel.opened.low);
    common.extent[1] = common.extent[1].cwiseMax(panel.opened.high);
  }
  common.viewpoint = viewpoint_into(bonds);
  return common;
}

void require_sensible(const PictureOptions& options) {
  if (options.width < 400 || options.width > 8000)
    throw std::invalid_argument(
        fmt::format("picture width is {} pixels; must be from 400 to 8000", options.width));
  if (options.height && (*options.height < 300 || *options.height > 8000))
    throw std::invalid_argument(
        fmt::format("picture height is {} pixels; must be from 300 to 8000", *options.height));
  if (options.scale_top && !(*options.scale_top > 1))
    throw std::invalid_argument(fmt::format(
        "the scale of stress-to-strength ratios ends at {} [-]; must be above 1", *options.scale_top));
}

int natural_height(const Sheet& sheet, int width) {
  return static_cast<int>(std::lround(width / design_width(sheet) * design_height(sheet)));
}

std::unique_ptr<Canvas> compose(const Sheet& sheet, const CommonView& common, const PictureOptions& options) {
  const double unit_across = options.width / design_width(sheet);
  const int height = options.height.value_or(natural_height(sheet, options.width));
  const double unit = std::min(unit_across, height / design_height(sheet));
  auto canvas = std::make_unique<Canvas>(options.width, height, options.background);
  const BondLook look{.scale_top = options.scale_top.value_or(common.scale_top), .pixel = unit};
  const double top = draw_titles(*canvas, sheet, unit), bottom = bottom_height(sheet) * unit;
  const double column_width = static_cast<double>(options.width) / static_cast<double>(sheet.columns);
  const double row_height = (top - bottom) / static_cast<double>(sheet.panels.size() / sheet.columns);
  for (std::size_t p = 0; p < sheet.panels.size(); ++p) {
    const double left = column_width * static_cast<double>(p % sheet.columns);
    const double panel_bottom = top - row_height * static_cast<double>(p / sheet.columns + 1);
    draw_panel(*canvas, {left, panel_bottom, column_width, row_height}, sheet.panels[p], common, look);
  }
  const double left = 20 * unit, width = options.width - 40 * unit;
  if (sheet.clock)
    draw_clock(*canvas, {left, (caution_height + bar_height) * unit, width, clock_height * unit},
               *sheet.clock, unit);
  draw_ratio_bar(*canvas, {left, caution_height * unit, width, bar_height * unit}, look,
                 looks_seen(sheet.panels));
  canvas->add_text(left, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  return canvas;
}

}  // namespace setstress::viz
