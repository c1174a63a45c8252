#include "cases/result/history.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <stdexcept>

namespace setstress {

HistoryEntry history_entry(const Model& model, const RunObservers& observers, const Frame& frame) {
  HistoryEntry entry{frame.time,
                     frame.event,
                     {},
                     observers.cusps.of(frame),
                     {},
                     frame.energies,
                     frame.reactions,
                     observers.cure.of(frame.placed, frame.conversion),
                     observers.instruments.of(frame)};
  entry.rows = observers.walls.of(frame, observers.links);
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

namespace {

/// Position of the highest `of` the ratio among the instants that `counts`.
template <class Counts>
std::optional<std::size_t> highest(const History& history, std::size_t row, double MeanAndP95::*of,
                                   Counts counts) {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < history.size(); ++i) {
    const BondStatistics& s = history[i].rows[row].statistics;
    if (!counts(s)) continue;
    if (!found || s.ratio.*of > history[*found].rows[row].statistics.ratio.*of) found = i;
  }
  return found;
}

bool whole(const BondStatistics& s) {
  return s.is_whole();
}

}  // namespace

std::optional<std::size_t> highest_ratio(const History& history, std::size_t row) {
  return highest(history, row, &MeanAndP95::p95, whole);
}

std::optional<std::size_t> highest_mean_ratio(const History& history, std::size_t row) {
  return highest(history, row, &MeanAndP95::mean, whole);
}

std::optional<std::size_t> higher_while_part_filled(const History& history, std::size_t row) {
  const auto p95 = [&](std::size_t i) { return history[i].rows[row].statistics.ratio.p95; };
  const auto of_part = highest(history, row, &MeanAndP95::p95,
                               [](const BondStatistics& s) { return s.placed_area > 0 && !s.is_whole(); });
  const auto of_whole = highest_ratio(history, row);
  if (of_part && of_whole && p95(*of_part) <= p95(*of_whole)) return std::nullopt;
  return of_part;
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
      "area_fraction_above_1,debonded_fraction,largest_gap_um,mean_gap_um,gap_volume_mm3,conversion_mean,"
      "conversion_p05,share_of_whole_at_strength,share_of_whole_debonded,share_of_whole_softened,"
      "mean_strength_lost_of_whole,chance_started_failing\n";
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
      for (const double value : {s.area,
                                 s.placed_area,
                                 s.normal_traction.mean,
                                 s.normal_traction.p95,
                                 s.shear_traction.mean,
                                 s.shear_traction.p95,
                                 s.ratio.mean,
                                 s.ratio.p95,
                                 s.share_above_one,
                                 s.share_debonded,
                                 1e3 * s.largest_gap,
                                 1e3 * s.mean_gap,
                                 s.gap_volume,
                                 s.conversion_mean,
                                 s.conversion_p05,
                                 s.of_whole(s.share_above_one),
                                 s.of_whole(s.share_debonded),
                                 s.of_whole(s.share_softened),
                                 s.of_whole(s.mean_strength_lost),
                                 s.chance_started})
        number(value);
      table += '\n';
    }
  return table;
}

std::string energies_table(const History& history) {
  std::string table =
      "time_s,event,shrinkage_work_mJ,load_work_mJ,elastic_tooth_mJ,elastic_filling_mJ,elastic_bond_mJ,"
      "elastic_support_mJ,set_in_mJ,fracture_mJ,viscous_mJ,flow_mJ\n";
  for (const HistoryEntry& entry : history) {
    const Energies& e = entry.energies;
    table += fmt::format("{:.9g},\"{}\"", entry.time, entry.event);
    for (const double value : {e.shrinkage_work, e.load_work, e.elastic_tooth, e.elastic_filling,
                               e.elastic_bond, e.elastic_support, e.set_in, e.fracture, e.viscous, e.flow})
      table += fmt::format(",{:.9g}", value);
    table += '\n';
  }
  return table;
}

std::string readings_table(const History& history, double area) {
  std::string table =
      "time_s,event,frame_force_N,frame_stress_MPa,frame_yield_um,axial_shrinkage,surface_sink_middle_um,"
      "surface_sink_mean_um,surface_sink_volume_mm3\n";
  const auto cell = [&](const std::optional<double>& value, double factor = 1) {
    table += value ? fmt::format(",{:.9g}", factor * *value) : ",";
  };
  for (const HistoryEntry& entry : history) {
    const Readings& r = entry.readings;
    table += fmt::format("{:.9g},\"{}\"", entry.time, entry.event);
    cell(r.frame_force);
    cell(r.frame_force, 1 / area);
    cell(r.frame_yield, 1e3);
    cell(r.axial_shrinkage);
    cell(r.sink ? std::optional(r.sink->middle) : std::nullopt, 1e3);
    cell(r.sink ? std::optional(r.sink->mean) : std::nullopt, 1e3);
    cell(r.sink ? std::optional(r.sink->volume) : std::nullopt);
    table += '\n';
  }
  return table;
}

std::string holds_table(const Model& model, const History& history) {
  std::string table = "time_s,event,hold,surface,force_x_N,force_y_N,force_z_N\n";
  for (const HistoryEntry& entry : history)
    for (std::size_t h = 0; h < entry.reactions.size(); ++h) {
      const Eigen::Vector3d& force = entry.reactions[h];
      table += fmt::format("{:.9g},\"{}\",{},\"{}\",{:.9g},{:.9g},{:.9g}\n", entry.time, entry.event, h + 1,
                           model.fixed[h].surface, force.x(), force.y(), force.z());
    }
  return table;
}

}  // namespace setstress
