#include <fmt/core.h>

#include <stdexcept>

#include "viz/files/write_file.hpp"
#include "viz/pictures/bond_sheet.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/pictures.hpp"

namespace setstress {
namespace {

using viz::Panel;

constexpr double noticed = 0.005;  ///< share of the bond from which on its strength counts as reached

/// The first instant at which the bond strength is reached on a share of the bond that is noticed.
std::size_t first_reached(const Result& result) {
  std::size_t frame = 0;
  const auto reached = [](const ResultFrame& each) {
    return !each.bond.empty() && judge(each.bond).reached > noticed;
  };
  while (frame + 1 < result.frames.size() && !reached(result.frames[frame])) ++frame;
  return frame;
}

/// Whether the bond strength is reached and the end is as bad as the worst instant, to a fiftieth: so it is
/// once the bond has let go.
bool stays_worst(const Result& result, std::size_t worst) {
  if (result.frames.back().bond.empty()) return false;
  const BondState then = judge(result.frames[worst].bond);
  const BondState now = judge(result.frames.back().bond);
  return then.reached > noticed && now.reached * now.filled_area >= 0.98 * then.reached * then.filled_area;
}

/// The instants to show of one result, from top to bottom or left to right. Where the end of one that stands
/// `alone` is the worst instant, the beginning of trouble stands beside it; side by side it would set a box
/// just begun against a full one.
std::vector<Panel> panels_of(const Result& result, const PictureOptions& options, bool alone) {
  std::vector<Panel> panels;
  if (options.time || options.moment != Moment::worst_and_end) {
    const std::size_t frame = frame_for(result, options.time, options.moment);
    panels.push_back(
        viz::make_panel(result, frame, viz::words_for(result, frame, options.time, options.moment)));
    return panels;
  }
  const std::size_t worst = worst_frame(result), last = result.frames.size() - 1;
  if (alone && stays_worst(result, worst))
    panels.push_back(viz::make_panel(result, first_reached(result), "Bond strength first reached:"));
  else
    panels.push_back(viz::make_panel(result, worst, "Worst instant:"));
  panels.push_back(
      viz::make_panel(result, last, viz::words_for(result, last, {}, Moment::end), &panels.front()));
  return panels;
}

}  // namespace

viz::Sheet viz::sheet_of(const std::vector<Result>& results, const std::vector<std::string>& names,
                         const PictureOptions& options) {
  require_names(results, names, "a comparison");
  std::vector<std::vector<Panel>> columns;
  for (const Result& result : results) columns.push_back(panels_of(result, options, results.size() == 1));
  Sheet sheet{.title = "Load on the bond compared",
              .column_names = names,
              .panels = {},
              .columns = results.size(),
              .clock = {}};
  if (results.size() == 1) {  // its instants beside each other
    sheet.title = columns.front().front().bond.title;
    sheet.column_names.clear();
    sheet.columns = columns.front().size();
  } else if (results.size() > 2 && columns.front().size() == 1) {
    sheet.column_names.clear();
    sheet.columns = columns_for(results.size());
    for (std::size_t r = 0; r < results.size(); ++r)
      columns[r].front().heading = named_instant(names[r], columns[r].front().heading, results.size());
  }
  for (std::size_t row = 0; row < columns.front().size(); ++row)
    for (std::vector<Panel>& column : columns) sheet.panels.push_back(std::move(column[row]));
  return sheet;
}

void draw_bond(const Result& result, const std::filesystem::path& path, const PictureOptions& options) {
  draw_comparison({result}, {{}}, path, options);
}

void draw_comparison(const std::vector<Result>& results, const std::vector<std::string>& names,
                     const std::filesystem::path& path, const PictureOptions& options) {
  viz::require_sensible(options);
  const viz::Sheet sheet = viz::sheet_of(results, names, options);
  viz::compose(sheet, viz::common_view(sheet.panels, options.field), options)->save(path);
}

void draw_walls(const std::vector<Result>& results, const std::vector<std::string>& names,
                const std::filesystem::path& path, const PictureOptions& options) {
  viz::require_sensible(options);
  const std::string ending = path.extension().string();
  if (ending != ".png" && ending != ".svg" && ending != ".pdf")
    throw std::invalid_argument(fmt::format(
        "the opened walls are written as .png, .svg or .pdf; \"{}\" ends in none", path.filename().string()));
  viz::Sheet sheet = viz::sheet_of(results, names, options);
  sheet.beside = viz::Beside::nothing;
  const viz::CommonView common = viz::common_view(sheet.panels, options.field);
  if (ending == ".png") {
    viz::compose(sheet, common, options)->save(path);
    return;
  }
  const auto page = viz::compose_shapes(sheet, common, options);
  write_file(path, ending == ".svg" ? page->svg() : page->pdf());
}

}  // namespace setstress
