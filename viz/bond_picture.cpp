#include <fmt/core.h>

#include <stdexcept>

#include "viz/bond_sheet.hpp"
#include "viz/bond_state.hpp"
#include "viz/pictures.hpp"

namespace setstress {
namespace {

using viz::Panel;

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
    panels.push_back(viz::make_panel(result, frame_at(result, *options.time), "At"));
    return panels;
  }
  const std::size_t worst = worst_frame(result);
  if (worst == last)
    panels.push_back(viz::make_panel(result, first_reached(result), "Bond strength first reached:"));
  else
    panels.push_back(viz::make_panel(result, worst, "Worst instant:"));
  panels.push_back(
      viz::make_panel(result, last, worst == last ? "At the end, the worst instant:" : "At the end:"));
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
