#include "viz/pictures/bond_sheet.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <iterator>
#include <set>
#include <stdexcept>

#include "viz/files/vtk_files.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/told_numbers.hpp"
#include "viz/scenes/opened_vector.hpp"
#include "viz/scenes/scale_bar.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress::viz {
namespace {

/// Colour of the lamp and of its light.
const Colour lamp_colour = from_lch(78, 70, 80);

constexpr const char* at_the_end = "At the end:";

std::size_t numbered_gaps(const BondSurface& bond) {
  const auto number = bond.of_cells.find("gap_number");
  if (number == bond.of_cells.end()) return 0;
  std::set<int> numbers;
  for (Eigen::Index t = 0; t < number->second.rows(); ++t)
    numbers.insert(static_cast<int>(number->second(t, 0)));
  numbers.erase(0);
  return numbers.size();
}

/// What the tables of the result tell of the instant; where there are none, the facets, and that it is they.
std::string describe(const BondSurface& bond, const std::filesystem::path& folder) {
  const auto told = told_numbers(folder, bond.time);
  const BondState state = told ? BondState{} : judge(bond);
  const ToldNumbers numbers =
      told.value_or(ToldNumbers{.at_strength = state.reached,
                                .debonded = state.debonded,
                                .largest_gap = 1000 * bond.cell_field("gap").maxCoeff()});
  const bool coarse = told && told_too_coarse(folder);
  std::string text = fmt::format("bond strength reached on {}{:.0f} % of {}{}", coarse ? "~" : "",
                                 100 * numbers.at_strength, told ? "the whole bond" : "the facets filled",
                                 coarse ? " (~ mesh too coarse for areas)" : "");
  if (numbers.debonded > 0.0005)
    text +=
        fmt::format(", debonded {:.0f} %, gap up to {:.2g} µm", 100 * numbers.debonded, numbers.largest_gap);
  if (const std::size_t gaps = numbered_gaps(bond); gaps > 0)
    text += gaps == 1 ? ", one gap" : fmt::format(", {} gaps", gaps);
  return text;
}

/// Of the cell values of a quantity in the scale's unit, the value that leaves out the highest hundredth of
/// the area.
double nearly_highest(const BondSurface& bond, BondField field) {
  const FieldSource source = source_of(field);
  const Eigen::MatrixXd& of_cells = bond.cell_field(source.array);
  std::vector<std::array<double, 2>> values;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t)
    values.push_back({source.factor * of_cells(static_cast<Eigen::Index>(t), 0), bond.area(t)});
  return weighted_percentile(std::move(values), 0.99);
}

/// Heights in design pixels, of which a page is `design_width` wide.
constexpr double top_margin = 60, column_name_height = 36, panel_height = 740, clock_height = 50,
                 clock_row_height = 30, bar_height = 90, caution_height = 34;
/// Of a panel, for the opened box.
constexpr double share_flat = 0.5;

double design_width(const Sheet& sheet) {
  return std::max(1600.0, 800.0 * static_cast<double>(sheet.columns));
}
double height_of_clock(const Sheet& sheet) {
  return sheet.clock ? clock_height + clock_row_height * static_cast<double>(sheet.clock->rows.size()) : 0;
}
double bottom_height(const Sheet& sheet) {
  return height_of_clock(sheet) + (sheet.beside == Beside::cut ? 2 : 1) * bar_height + caution_height;
}
double design_height(const Sheet& sheet) {
  const auto rows = static_cast<double>(rows_for(sheet.panels.size(), sheet.columns));
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

/// What is said above a panel; returns the rest of `box`.
Box draw_panel_heading(Drawing& drawing, const Box& box, const Panel& panel, double unit) {
  add_heading(drawing, box.left + 20 * unit, box.top() - 18 * unit, box.width - 40 * unit, unit,
              panel.heading, panel.detail);
  return {box.left + 20 * unit, box.bottom, box.width - 40 * unit, box.height - 60 * unit};
}

void draw_panel(VectorPage& page, const Box& box, const Panel& panel, Beside, const CommonView& common,
                const BondLook& look) {
  const Box view = draw_panel_heading(page, box, panel, look.pixel);
  draw_opened(page, view, panel.bond, panel.opened, common.extent, look);
}

/// What the cut is, and above it the lamp while it is on; returns the rest of `box`.
Box draw_cut_heading(Drawing& drawing, const Box& box, const Panel& panel, double unit) {
  const std::string what = name_of_cut(panel.cut.value().cut) + ", coloured by conversion";
  drawing.add_text(box.left, box.top() - 10 * unit, what,
                   fitted(what, {.size = 16 * unit, .bold = true}, box.width - 10 * unit));
  if (panel.lit) {
    const Box lamp{box.left + 0.2 * box.width, box.top() - 44 * unit, 0.6 * box.width, 20 * unit};
    drawing.add_box(lamp, lamp_colour);
    drawing.add_frame(lamp, unit, drawing.ink());
    drawing.add_text(lamp.right() + 8 * unit, lamp.bottom + 10 * unit, "light on",
                     {.size = 15 * unit, .bold = true});
  }
  return {box.left, box.bottom, box.width, box.height - 48 * unit};
}

void draw_panel(Canvas& canvas, const Box& box, const Panel& panel, Beside beside, const CommonView& common,
                const BondLook& look) {
  const double unit = look.pixel;
  const Box views = draw_panel_heading(canvas, box, panel, unit);
  if (beside == Beside::nothing) {
    draw_opened(canvas, views, panel.bond, panel.opened, common.extent, look);
    return;
  }
  const bool side_by_side = better_beside(views, common.extent);
  const double split = (1 - share_flat) * (side_by_side ? views.width : views.height);
  const Box other = side_by_side ? Box{views.left, views.bottom, split, views.height}
                                 : Box{views.left, views.top() - split, views.width, split};
  const Box flat = side_by_side ? Box{views.left + split, views.bottom, views.width - split, views.height}
                                : Box{views.left, views.bottom, views.width, views.height - split};
  if (beside == Beside::cut) {
    CutLook cut = common.cut.value();
    cut.pixel = unit;
    draw_cut_scene(canvas, draw_cut_heading(canvas, other, panel, unit), panel.cut.value(), cut);
  } else {
    draw_in_space(canvas, other, panel.bond, panel.opened, common.viewpoint, look);
  }
  draw_opened(canvas, flat, panel.bond, panel.opened, common.extent, look);
}

std::vector<Looks> looks_seen(const std::vector<Panel>& panels) {
  std::set<Looks> seen;
  for (const Panel& panel : panels) std::ranges::copy(looks_of(panel.bond), std::inserter(seen, seen.end()));
  return {seen.begin(), seen.end()};
}

/// Title and column names; returns the height that is left below them.
double draw_titles(Drawing& canvas, const Sheet& sheet, double unit) {
  const double column_width = static_cast<double>(canvas.width()) / static_cast<double>(sheet.columns);
  const double top = canvas.height() - top_margin * unit;
  canvas.add_text(20 * unit, canvas.height() - 34 * unit, sheet.title,
                  fitted(sheet.title, {.size = 26 * unit, .bold = true}, canvas.width() - 40 * unit));
  for (std::size_t c = 0; c < sheet.column_names.size(); ++c)
    canvas.add_text(
        static_cast<double>(c) * column_width + 20 * unit, top - 16 * unit, sheet.column_names[c],
        fitted(sheet.column_names[c], {.size = 24 * unit, .bold = true}, column_width - 40 * unit));
  return top - (sheet.column_names.empty() ? 0 : column_name_height) * unit;
}

/// When the lamp is on, as bars, and names of what happens below them, as far as they stand clear.
void draw_clock_row(Drawing& canvas, const Box& box, const ClockRow& row, double unit) {
  for (const auto& [from, to] : row.lit)
    canvas.add_box({box.left + from * box.width, box.top() - 9 * unit, (to - from) * box.width, 7 * unit},
                   lamp_colour);
  const std::string name = shortened(row.name, 40);
  const double line = box.top() - 18 * unit, room = 250 * unit;
  TextStyle style = fitted(name, {.size = 13 * unit, .align = Align::right}, room);
  if (!name.empty()) canvas.add_text(box.left - 12 * unit, line, name, style);
  double free = box.left;
  for (const auto& [share, event] : row.events) {
    style = {.size = 13 * unit, .align = Align::left};
    const double own = 1.1 * text_width(event, style);
    const double start =
        std::clamp(box.left + share * box.width - own / 2, free, std::max(free, box.right() - own));
    if (start > box.left + share * box.width) continue;  // it would stand beside what it names
    canvas.add_line(box.left + share * box.width, box.top() - 10 * unit, box.left + share * box.width,
                    box.top(), unit, canvas.ink());
    canvas.add_text(start, line, event, style);
    free = start + own + 8 * unit;
  }
}

/// The time, how far it has just jumped, and a line along which the animation runs with its jumps marked.
void draw_clock(Drawing& canvas, const Box& box, const Clock& clock, double unit) {
  const double y = box.top() - clock_height / 2 * unit, left = box.left + 480 * unit,
               width = box.right() - left - 20 * unit;
  canvas.add_text(box.left, y, clock.time, {.size = 30 * unit, .bold = true});
  if (!clock.jumps_at.empty())
    canvas.add_text(box.left, y - 28 * unit, "at slanted marks the clock jumps",
                    {.size = 13 * unit, .faint = true});
  canvas.add_text(box.left + 220 * unit, y, clock.jump, {.size = 18 * unit, .bold = true});
  canvas.add_line(left, y, left + width, y, 2 * unit, canvas.faint_ink());
  for (const double share : clock.jumps_at)
    canvas.add_line(left + share * width - 5 * unit, y - 10 * unit, left + share * width + 5 * unit,
                    y + 10 * unit, 3 * unit, canvas.faint_ink());
  const double now = left + clock.share * width;
  canvas.add_polygon({{now, y + 5 * unit}, {now + 9 * unit, y + 20 * unit}, {now - 9 * unit, y + 20 * unit}},
                     canvas.ink());
  double top = y - 10 * unit;
  for (const ClockRow& row : clock.rows) {
    draw_clock_row(canvas, {left, top - clock_row_height * unit, width, clock_row_height * unit}, row, unit);
    top -= clock_row_height * unit;
  }
}

/// Clock, bars of the scales and the caution line.
void draw_foot(Drawing& drawing, const Sheet& sheet, const CommonView& common, const BondLook& look) {
  const double unit = look.pixel, left = 20 * unit, width = drawing.width() - 40 * unit;
  const double height = bar_height * unit;
  drawing.add_text(left, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  double bottom = caution_height * unit;
  if (sheet.beside == Beside::cut) {
    const double right = draw_scale_bar(drawing, {left, bottom, width, height}, common.cut->scale, unit);
    add_heading(drawing, right, bottom + height / 2 + 9 * unit, left + width - right, 0.81 * unit,
                name_of_factor(common.cut->magnification), name_of_thin_lines(common.cut->magnification));
    bottom += height;
  }
  const std::vector<Looks> seen =
      look.field == BondField::ratio ? looks_seen(sheet.panels) : std::vector<Looks>{};
  draw_scale_bar(drawing, {left, bottom, width, height}, look.scale, unit, seen);
  if (sheet.clock)
    draw_clock(drawing, {left, bottom + height, width, height_of_clock(sheet) * unit}, *sheet.clock, unit);
}

template <class Page>
std::unique_ptr<Page> compose_on(const Sheet& sheet, const CommonView& common,
                                 const PictureOptions& options) {
  const int height = options.height.value_or(natural_height(sheet, options.width));
  const double unit = std::min(options.width / design_width(sheet), height / design_height(sheet));
  auto page = std::make_unique<Page>(options.width, height, options.background);
  const BondLook look{.field = options.field,
                      .scale = scale_of(options.field, options.scale_top.value_or(common.scale_top)),
                      .pixel = unit};
  const double top = draw_titles(*page, sheet, unit), bottom = bottom_height(sheet) * unit;
  const double column_width = static_cast<double>(options.width) / static_cast<double>(sheet.columns);
  const double height_of_row =
      (top - bottom) / static_cast<double>(rows_for(sheet.panels.size(), sheet.columns));
  for (std::size_t p = 0; p < sheet.panels.size(); ++p) {
    const double left = column_width * static_cast<double>(p % sheet.columns);
    const double panel_bottom = top - height_of_row * static_cast<double>(p / sheet.columns + 1);
    draw_panel(*page, {left, panel_bottom, column_width, height_of_row}, sheet.panels[p], sheet.beside,
               common, look);
  }
  draw_foot(*page, sheet, common, look);
  return page;
}

}  // namespace

Panel make_panel(const Result& result, std::size_t frame, const std::string& when, const Panel* same_result) {
  const ResultFrame& chosen = result.frames.at(frame);
  if (chosen.bond.empty())
    throw std::runtime_error(
        fmt::format("{} has no file of the bond at {} s", result.folder.string(), chosen.time));
  Panel panel;
  panel.bond = read_bond(chosen.bond);
  panel.opened = same_result != nullptr ? same_result->opened : open_box(panel.bond);
  panel.heading = fmt::format("{} {}", when, duration_text(panel.bond.time));
  if (!panel.bond.event.empty() && !(when == at_the_end && panel.bond.event == "end"))
    panel.heading += fmt::format(" ({})", panel.bond.event);
  panel.detail = describe(panel.bond, result.folder);
  return panel;
}

double scale_top_for(const BondSurface& bond, BondField field) {
  switch (field) {
    case BondField::ratio:
      return ratio_top;
    case BondField::strength_lost:
      return 100;
    case BondField::gap:
      return round_up(std::max(0.1, nearly_highest(bond, field)));
  }
  throw std::logic_error("a quantity on the bond without a scale");
}

CommonView common_view(const std::vector<Panel>& panels, BondField field) {
  CommonView common{
      .viewpoint = {}, .extent = {panels.at(0).opened.low, panels[0].opened.high}, .scale_top = 0, .cut = {}};
  std::vector<const BondSurface*> bonds;
  for (const Panel& panel : panels) {
    bonds.push_back(&panel.bond);
    common.scale_top = std::max(common.scale_top, scale_top_for(panel.bond, field));
    common.extent[0] = common.extent[0].cwiseMin(panel.opened.low);
    common.extent[1] = common.extent[1].cwiseMax(panel.opened.high);
  }
  common.viewpoint = viewpoint_into(bonds);
  return common;
}

void require_sensible(int width, std::optional<int> height) {
  if (width < 400 || width > 8000)
    throw std::invalid_argument(fmt::format("picture width is {} pixels; must be from 400 to 8000", width));
  if (height && (*height < 300 || *height > 8000))
    throw std::invalid_argument(
        fmt::format("picture height is {} pixels; must be from 300 to 8000", *height));
}

void require_sensible(const PictureOptions& options) {
  require_sensible(options.width, options.height);
  if (!options.scale_top) return;
  if (options.field == BondField::ratio && !(*options.scale_top > 1))
    throw std::invalid_argument(fmt::format(
        "the scale of stress-to-strength ratios ends at {}; must be above 1", *options.scale_top));
  if (!(*options.scale_top > 0))
    throw std::invalid_argument(fmt::format("the scale ends at {}; must be above 0", *options.scale_top));
}

void require_names(const std::vector<Result>& results, const std::vector<std::string>& names,
                   const char* picture) {
  if (results.empty() || results.size() != names.size())
    throw std::invalid_argument(
        fmt::format("{} needs a name for each result; there are {} results and {} names", picture,
                    results.size(), names.size()));
}

const char* words_for(const Result& result, std::size_t frame, std::optional<double> asked, Moment moment) {
  if (asked) return "At";
  if (moment == Moment::worst) return "Worst instant:";
  if (frame + 1 < result.frames.size()) return "At";
  return stopped_early(result) ? "Stopped by the user at" : at_the_end;
}

std::string named_instant(const std::string& name, const std::string& instant, std::size_t results) {
  if (results == 1) return instant;
  std::string small = instant;
  small.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(small.front())));
  constexpr std::size_t most_letters = 48;
  return shortened(name, most_letters) + ", " + small;
}

std::size_t columns_for(std::size_t panels) {
  return std::min<std::size_t>(panels, 2);
}

std::size_t rows_for(std::size_t panels, std::size_t columns) {
  return (panels + columns - 1) / columns;
}

void add_heading(Drawing& drawing, double left, double y, double width, double unit,
                 const std::string& heading, const std::string& detail) {
  drawing.add_text(left, y, heading, fitted(heading, {.size = 21 * unit, .bold = true}, width));
  if (!detail.empty())
    drawing.add_text(left, y - 26 * unit, detail, fitted(detail, {.size = 17 * unit, .faint = true}, width));
}

int natural_height(const Sheet& sheet, int width) {
  return static_cast<int>(std::lround(width / design_width(sheet) * design_height(sheet)));
}

std::unique_ptr<Canvas> compose(const Sheet& sheet, const CommonView& common, const PictureOptions& options) {
  return compose_on<Canvas>(sheet, common, options);
}

std::unique_ptr<VectorPage> compose_shapes(const Sheet& sheet, const CommonView& common,
                                           const PictureOptions& options) {
  return compose_on<VectorPage>(sheet, common, options);
}

}  // namespace setstress::viz
