#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>
#include <stdexcept>

#include "viz/bond_scene.hpp"
#include "viz/bond_state.hpp"
#include "viz/pictures.hpp"
#include "viz/surface_lines.hpp"
#include "viz/vtk_files.hpp"

namespace setstress {
namespace {

using viz::Align;
using viz::Box;

/// One bond at one instant, with what is said above it.
struct Panel {
  BondSurface bond;
  OpenedBox opened;
  std::string heading, detail;
};

std::string describe(const BondSurface& bond) {
  const BondState state = judge(bond);
  std::string text = fmt::format("bond strength reached on {:.0f} % of the bond", 100 * state.reached);
  if (state.debonded > 0.0005) text += fmt::format(", debonded {:.0f} %", 100 * state.debonded);
  return text;
}

Panel make_panel(const Result& result, std::size_t frame, const std::string& when) {
  const ResultFrame& chosen = result.frames.at(frame);
  if (chosen.bond.empty())
    throw std::runtime_error(
        fmt::format("{} has no file of the bond at {} s", result.folder.string(), chosen.time));
  Panel panel;
  panel.bond = read_bond(chosen.bond);
  panel.opened = open_box(panel.bond);
  panel.heading = fmt::format("{}: {}", when, spoken_time(panel.bond.time));
  if (!panel.bond.event.empty()) panel.heading += fmt::format(" ({})", panel.bond.event);
  panel.detail = describe(panel.bond);
  return panel;
}

/// The first instant at which the bond strength is reached on more than half a hundredth of the bond.
std::size_t first_reached(const Result& result) {
  std::size_t frame = 0;
  const auto reached = [&](const ResultFrame& each) {
    return !each.bond.empty() && judge(read_bond(each.bond)).reached > 0.005;
  };
  while (frame + 1 < result.frames.size() && !reached(result.frames[frame])) ++frame;
  return frame;
}

/// The instants to show of one result, from top to bottom or left to right. Where the bond is worst off at
/// the very end, as it is while it keeps letting go, the beginning of that stands beside the end.
std::vector<Panel> panels_of(const Result& result, const PictureOptions& options) {
  std::vector<Panel> panels;
  const std::size_t last = result.frames.size() - 1;
  if (options.time) {
    panels.push_back(make_panel(result, frame_at(result, *options.time), "At"));
    return panels;
  }
  const std::size_t worst = worst_frame(result);
  if (worst == last)
    panels.push_back(make_panel(result, first_reached(result), "Bond strength first reached"));
  else
    panels.push_back(make_panel(result, worst, "Worst instant"));
  panels.push_back(make_panel(result, last, worst == last ? "At the end, the worst instant" : "At the end"));
  return panels;
}

/// A round number that leaves out the highest hundredth of the area, which belongs to re-entrant edges.
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

struct Sheet {
  std::string title;
  std::vector<std::string> column_names;  ///< empty for none
  std::vector<Panel> panels;              ///< row by row
  std::size_t columns;
};

/// Height of everything in design pixels, of which a page is `design_width` wide.
constexpr double top_margin = 60, column_name_height = 36, panel_height = 740, bar_height = 90,
                 caution_height = 34;
double design_width(const Sheet& sheet) {
  return std::max(1600.0, 800.0 * static_cast<double>(sheet.columns));
}
double design_height(const Sheet& sheet) {
  const auto rows = static_cast<double>(sheet.panels.size() / sheet.columns);
  return top_margin + (sheet.column_names.empty() ? 0 : column_name_height) + rows * panel_height +
         bar_height + caution_height;
}

/// What all panels of a page share, so that they can be compared.
struct Common {
  viz::Viewpoint viewpoint;
  std::array<Eigen::Vector2d, 2> extent;
  viz::BondLook look;
};

Common common_to(const std::vector<Panel>& panels, const viz::BondLook& look) {
  Common common{.viewpoint = {}, .extent = {panels[0].opened.low, panels[0].opened.high}, .look = look};
  std::vector<const BondSurface*> bonds;
  for (const Panel& panel : panels) {
    bonds.push_back(&panel.bond);
    common.extent[0] = common.extent[0].cwiseMin(panel.opened.low);
    common.extent[1] = common.extent[1].cwiseMax(panel.opened.high);
  }
  common.viewpoint = viz::viewpoint_into(bonds);
  return common;
}

bool lies_upright(const std::array<Eigen::Vector2d, 2>& extent) {
  const Eigen::Vector2d size = extent[1] - extent[0];
  return size.y() > 1.2 * size.x();
}

void draw_panel(viz::Canvas& canvas, const Box& box, const Panel& panel, const Common& common) {
  const double unit = common.look.pixel;
  canvas.add_text(box.left + 20 * unit, box.top() - 18 * unit, panel.heading,
                  {.size = 21 * unit, .bold = true});
  canvas.add_text(box.left + 20 * unit, box.top() - 44 * unit, panel.detail,
                  {.size = 17 * unit, .faint = true});
  const Box views{box.left + 20 * unit, box.bottom, box.width - 40 * unit, box.height - 60 * unit};
  const bool side_by_side = lies_upright(common.extent);
  const double split = side_by_side ? 0.54 * views.width : 0.48 * views.height;
  const Box space = side_by_side ? Box{views.left, views.bottom, split, views.height}
                                 : Box{views.left, views.top() - split, views.width, split};
  const Box flat = side_by_side ? Box{views.left + split, views.bottom, views.width - split, views.height}
                                : Box{views.left, views.bottom, views.width, views.height - split};
  draw_in_space(canvas, space, panel.bond, panel.opened, common.viewpoint, common.look);
  draw_opened(canvas, flat, panel.bond, panel.opened, common.extent, common.look);
}

std::vector<Looks> looks_seen(const std::vector<Panel>& panels) {
  std::set<Looks> seen;
  for (const Panel& panel : panels) std::ranges::copy(looks_of(panel.bond), std::inserter(seen, seen.end()));
  return {seen.begin(), seen.end()};
}

void draw(const Sheet& sheet, const std::filesystem::path& path, const PictureOptions& options) {
  const double unit_across = options.width / design_width(sheet);
  const int height =
      options.height.value_or(static_cast<int>(std::lround(unit_across * design_height(sheet))));
  const double unit = std::min(unit_across, height / design_height(sheet));
  viz::Canvas canvas(options.width, height, options.background);
  const Common common = common_to(
      sheet.panels, {.scale_top = options.scale_top.value_or(scale_top_for(sheet.panels)), .pixel = unit});
  const double column_width = static_cast<double>(options.width) / static_cast<double>(sheet.columns);
  double top = height - 34 * unit;
  canvas.add_text(20 * unit, top, sheet.title, {.size = 26 * unit, .bold = true});
  top -= (top_margin - 34) * unit;
  for (std::size_t c = 0; c < sheet.column_names.size(); ++c)
    canvas.add_text((static_cast<double>(c) * column_width) + 20 * unit, top - 16 * unit,
                    sheet.column_names[c], {.size = 24 * unit, .bold = true});
  if (!sheet.column_names.empty()) top -= column_name_height * unit;
  const double bottom = (bar_height + caution_height) * unit;
  const double row_height = (top - bottom) / static_cast<double>(sheet.panels.size() / sheet.columns);
  for (std::size_t p = 0; p < sheet.panels.size(); ++p) {
    const double left = column_width * static_cast<double>(p % sheet.columns);
    const double panel_bottom = top - row_height * static_cast<double>(p / sheet.columns + 1);
    draw_panel(canvas, {left, panel_bottom, column_width, row_height}, sheet.panels[p], common);
  }
  draw_ratio_bar(canvas, {20 * unit, caution_height * unit, options.width - 40 * unit, bar_height * unit},
                 common.look, looks_seen(sheet.panels));
  canvas.add_text(20 * unit, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  canvas.save(path);
}

}  // namespace

std::string spoken_time(double seconds) {
  const auto whole = static_cast<long>(std::floor(seconds));
  if (seconds < 60) return fmt::format("{:.3g} s", seconds);
  std::string text;
  if (whole >= 3600) text += fmt::format("{} h", whole / 3600);
  if (whole / 60 % 60 > 0) text += fmt::format("{}{} min", text.empty() ? "" : " ", whole / 60 % 60);
  const double rest = seconds - 60.0 * static_cast<double>(whole / 60);
  if (rest >= 0.05 && whole < 3600) text += fmt::format(" {:.3g} s", rest);
  return text;
}

void draw_bond(const Result& result, const std::filesystem::path& path, const PictureOptions& options) {
  require_sensible(options);
  Sheet sheet{.title = {}, .column_names = {}, .panels = panels_of(result, options), .columns = 0};
  sheet.columns = sheet.panels.size();
  sheet.title = sheet.panels.front().bond.title;
  draw(sheet, path, options);
}

void draw_comparison(const std::vector<Result>& results, const std::vector<std::string>& names,
                     const std::filesystem::path& path, const PictureOptions& options) {
  require_sensible(options);
  if (results.empty() || results.size() != names.size())
    throw std::invalid_argument(
        fmt::format("a comparison needs a name for each result; there are {} results and {} names",
                    results.size(), names.size()));
  std::vector<std::vector<Panel>> columns;
  for (const Result& result : results) columns.push_back(panels_of(result, options));
  Sheet sheet{
      .title = "Load on the bond compared", .column_names = names, .panels = {}, .columns = results.size()};
  for (std::size_t row = 0; row < columns.front().size(); ++row)
    for (std::vector<Panel>& column : columns) sheet.panels.push_back(std::move(column[row]));
  draw(sheet, path, options);
}

}  // namespace setstress
