#include "cases/history.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <stdexcept>

namespace setstress {

HistoryEntry history_entry(const Model& model, const Frame& frame) {
  HistoryEntry entry{frame.time, frame.event, {}, cusp_deflection(model.mesh, frame), {}, frame.energies};
  entry.rows = wall_report(model.mesh, model.substrates, frame);
  if (!frame.event.empty()) entry.tensile = tensile_stress(model.mesh, frame);
  return entry;
}

std::pair<double, double> badness(const BondStatistics& s) {
  if (!(s.placed_area > 0)) return {0, 0};
  return {s.share_above_one * s.placed_area, s.ratio.p95};
}

std::size_t worst_instant(const History& history, std::size_t row) {
  if (history.empty()) throw std::invalid_argument("worst instant: the history is empty");
  std::size_t worst = 0;
  for (std::size_t i = 1; i < history.size(); ++i)
    if (badness(history[i].rows[row].statistics) > badness(history[worst].rows[row].statistics)) worst = i;
  return worst;
}

std::string wall_name(const WallRow& row) {
  return row.wall.empty() ? "all" : row.wall;
}

std::string substrate_name(const WallRow& row) {
  return row.substrate ? name_of(*row.substrate) : "all";
}

std::string walls_table(const History& history) {
  std::string table =
      "time_s,event,wall,substrate,area_mm2,placed_area_mm2,normal_traction_mean_MPa,normal_traction_p95_MPa,"
      "shear_traction_mean_MPa,shear_traction_p95_MPa,stress_to_strength_mean,stress_to_strength_p95,"
      "area_fraction_above_1,debonded_fraction,largest_gap_um,mean_gap_um,gap_volume_mm3\n";
  auto out = std::back_inserter(table);
  const auto number = [&out](double value) {
    if (std::isnan(value))
      fmt::format_to(out, ",");  // nothing placed yet
    else
      fmt::format_to(out, ",{:.9g}", value);
  };
  for (const HistoryEntry& entry : history)
    for (const WallRow& row : entry.rows) {
      const BondStatistics& s = row.statistics;
      fmt::format_to(out, "{:.9g},\"{}\",{},{}", entry.time, entry.event, wall_name(row),
                     substrate_name(row));
      for (const double value :
           {s.area, s.placed_area, s.normal_traction.mean, s.normal_traction.p95, s.shear_traction.mean,
            s.shear_traction.p95, s.ratio.mean, s.ratio.p95, s.share_above_one, s.share_debonded,
            1e3 * s.largest_gap, 1e3 * s.mean_gap, s.gap_volume})
        number(value);
      table += '\n';
    }
  return table;
}

}  // namespace setstress
