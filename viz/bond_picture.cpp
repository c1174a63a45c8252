#include <fmt/core.h>

#include <stdexcept>

#include "viz/bond_sheet.hpp"
#include "viz/bond_state.hpp"
#include "viz/pictures.hpp"

namespace setstress {
namespace {

using viz::Panel;

constexpr double noticed = 0.005;  ///< share of the bond from which on its strength counts as reached

/// The first instant at which the bond strength is reached on a share of the bond that is noticed.
std::size_t first_reached(const Result& result) {
  std::size_t frame = 0;
  const auto reached = [](const ResultFrame& each) {
    return !each.bond.empty() && judge(read_bond(each.bond)).reached > noticed;
  };
  while (frame + 1 < result.frames.size() && !reached(result.frames[frame])) ++frame;
  return frame;
}

/// Whether the bond strength is reached and the end is as bad as the worst instant, to a fiftieth: so it is
/// once the bond has let go.
bool stays_worst(const Result& result, std::size_t worst) {
  if (result.frames.back().bond.empty()) return false;
  const BondState then = judge(read_bond(result.frames[worst].bond));
  const BondState now = judge(read_bond(result.frames.back().bond));
  return then.reached > noticed && now.reached * now.filled_area >= 0.98 * then.reached * then.filled_area;
}

/// The instants to show of one result, from top to bottom or left to right. Where the end is the worst
/// instant, the beginning of trouble stands beside it.
std::vector<Panel> panels_of(const Result& result, const PictureOptions& options) {
  std::vector<Panel> panels;
  if (options.time) {
    panels.push_back(viz::make_panel(result, frame_at(result, *options.time), "At"));
    return panels;
  }
  const std::size_t worst = worst_frame(result), last = result.frames.size() - 1;
  if (stays_worst(result, worst))
    panels.push_back(viz::make_panel(result, first_reached(result), "Bond strength first reached:"));
  else
    panels.push_back(viz::make_panel(result, worst, "Worst instant:"));
  panels.push_back(viz::make_panel(result, last, "At the end:"));
  return panels;
}

}  // namespace

void draw_bond(const Result& result, const std::filesystem::path& path, const PictureOptions& options) {
  viz::require_sensible(options);
  viz::Sheet sheet{
      .title = {}, .column_names = {}, .panels = panels_of(result, options), .columns = 0, .clock = {}};
  sheet.columns = sheet.panels.size();
  sheet.title = sheet.panels.front().bond.title;
  viz::compose(sheet, viz::common_view(sheet.panels), options)->save(path);
}

void draw_comparison(const std::vector<Result>& results, const std::vector<std::string>& names,
                     const std::filesystem::path& path, const PictureOptions& options) {
  viz::require_sensible(options);
  if (results.empty() || results.size() != names.size())
    throw std::invalid_argument(
        fmt::format("a comparison needs a name for each result; there are {} results and {} names",
                    results.size(), names.size()));
  std::vector<std::vector<Panel>> columns;
  for (const Result& result : results) columns.push_back(panels_of(result, options));
  viz::Sheet sheet{.title = "Load on the bond compared",
                   .column_names = names,
                   .panels = {},
                   .columns = results.size(),
                   .clock = {}};
  for (std::size_t row = 0; row < columns.front().size(); ++row)
    for (std::vector<Panel>& column : columns) sheet.panels.push_back(std::move(column[row]));
  viz::compose(sheet, viz::common_view(sheet.panels), options)->save(path);
}

}  // namespace setstress
