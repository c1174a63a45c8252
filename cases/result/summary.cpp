#include "cases/result/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <optional>

#include "cases/check/case_check.hpp"
#include "cases/check/cure_json.hpp"
#include "cases/result/bites.hpp"
#include "cases/result/energy_bound.hpp"
#include "cases/result/mirror_walls.hpp"
#include "solver/report/averaged_bond.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// Statistics of a part of the bond at one instant; null where nothing is placed yet.
ordered_json statistics_json(const HistoryEntry& entry, std::size_t row) {
  const BondStatistics& s = entry.rows[row].statistics;
  ordered_json json{{"time_s", entry.time}, {"event", entry.event}, {"placed_area_mm2", s.placed_area}};
  const auto number = [&](const char* key, double value) {
    json[key] = s.placed_area > 0 ? ordered_json(value) : ordered_json(nullptr);
  };
  number("normal_traction_mean_MPa", s.normal_traction.mean);
  number("normal_traction_p95_MPa", s.normal_traction.p95);
  number("shear_traction_mean_MPa", s.shear_traction.mean);
  number("shear_traction_p95_MPa", s.shear_traction.p95);
  number("stress_to_strength_mean", s.ratio.mean);
  number("stress_to_strength_p95", s.ratio.p95);
  number("area_fraction_above_1", s.share_above_one);
  number("debonded_fraction", s.share_debonded);
  number("largest_gap_um", 1e3 * s.largest_gap);
  number("mean_gap_um", 1e3 * s.mean_gap);
  number("gap_volume_mm3", s.gap_volume);
  number("conversion_mean", s.conversion_mean);
  number("conversion_p05", s.conversion_p05);
  number("share_of_whole_at_strength", s.of_whole(s.share_above_one));
  number("share_of_whole_debonded", s.of_whole(s.share_debonded));
  number("share_of_whole_softened", s.of_whole(s.share_softened));
  number("mean_strength_lost_of_whole", s.of_whole(s.mean_strength_lost));
  json["chance_started_failing"] =
      std::isnan(s.chance_started) ? ordered_json(nullptr) : ordered_json(s.chance_started);
  return json;
}

/// When the 95th percentile of the ratio is how high, on how much of the part; null for no instant.
ordered_json highest_json(const History& history, std::size_t row, std::optional<std::size_t> instant) {
  if (!instant) return nullptr;
  const HistoryEntry& entry = history[*instant];
  const BondStatistics& s = entry.rows[row].statistics;
  return {{"time_s", entry.time},
          {"event", entry.event},
          {"placed_area_mm2", s.placed_area},
          {"stress_to_strength_p95", s.ratio.p95}};
}

ordered_json highest_mean_json(const History& history, std::size_t row) {
  const auto instant = highest_mean_ratio(history, row);
  if (!instant) return nullptr;
  const HistoryEntry& entry = history[*instant];
  return {{"time_s", entry.time},
          {"event", entry.event},
          {"stress_to_strength_mean", entry.rows[row].statistics.ratio.mean}};
}

ordered_json bond_json(const History& history) {
  ordered_json rows = ordered_json::array();
  for (std::size_t r = 0; r < history.front().rows.size(); ++r) {
    const WallRow& row = history.front().rows[r];
    ordered_json over_time = ordered_json::array();
    for (const HistoryEntry& entry : history)
      if (!entry.event.empty()) over_time.push_back(statistics_json(entry, r));
    rows.push_back(
        {{"wall", wall_name(row)},
         {"substrate", substrate_name(row)},
         {"area_mm2", row.statistics.area},
         {"worst", statistics_json(history[worst_instant(history, r)], r)},
         {"end", statistics_json(history.back(), r)},
         {"at_events", over_time},
         {"highest_p95", highest_json(history, r, highest_ratio(history, r))},
         {"higher_while_part_filled", highest_json(history, r, higher_while_part_filled(history, r))},
         {"highest_mean", highest_mean_json(history, r)},
         {"averaging_points_mean", row.statistics.averaging_points}});
  }
  return rows;
}

ordered_json pair_json(double buccal, double lingual) {
  return {{"buccal_um", 1e3 * buccal}, {"lingual_um", 1e3 * lingual}, {"both_um", 1e3 * (buccal + lingual)}};
}

ordered_json cusps_json(const HistoryEntry& entry) {
  const CuspDeflection& cusps = *entry.cusps;
  ordered_json json{{"time_s", entry.time}, {"event", entry.event}};
  json.update(pair_json(cusps.buccal, cusps.lingual));
  json["largest_point"] = pair_json(cusps.largest_buccal, cusps.largest_lingual);
  if (!cusps.buccal_edge || !cusps.lingual_edge) return json;
  const CavityEdge &buccal = *cusps.buccal_edge, &lingual = *cusps.lingual_edge;
  json["edge_mesial"] = pair_json(buccal.mesial, lingual.mesial);
  json["edge_middle"] = pair_json(buccal.middle, lingual.middle);
  json["edge_distal"] = pair_json(buccal.distal, lingual.distal);
  return json;
}

ordered_json deflection_json(const History& history) {
  if (!history.back().cusps) return nullptr;
  const auto sum = [](const HistoryEntry& e) { return e.cusps->buccal + e.cusps->lingual; };
  const auto largest = std::max_element(history.begin(), history.end(),
                                        [&](const auto& a, const auto& b) { return sum(a) < sum(b); });
  ordered_json at_events = ordered_json::array();
  for (const HistoryEntry& entry : history)
    if (!entry.event.empty()) at_events.push_back(cusps_json(entry));
  return {{"largest", cusps_json(*largest)}, {"end", cusps_json(history.back())}, {"at_events", at_events}};
}

ordered_json tensile_json(const History& history) {
  ordered_json instants = ordered_json::array();
  for (const HistoryEntry& entry : history) {
    if (entry.tensile.empty()) continue;
    ordered_json at{{"time_s", entry.time}, {"event", entry.event}};
    for (const TensileStress& body : entry.tensile)
      at[body.body] = {{"p50_MPa", body.p50}, {"p95_MPa", body.p95}, {"p99_MPa", body.p99}};
    instants.push_back(at);
  }
  return instants;
}

ordered_json optional_json(const std::optional<double>& value, double factor = 1) {
  return value ? ordered_json(factor * *value) : ordered_json(nullptr);
}

ordered_json frame_reading_json(const HistoryEntry& entry, double area) {
  const Readings& r = entry.readings;
  return {{"time_s", entry.time},
          {"event", entry.event},
          {"force_N", optional_json(r.frame_force)},
          {"stress_MPa", optional_json(r.frame_force, 1 / area)},
          {"yield_um", optional_json(r.frame_yield, 1e3)},
          {"axial_shrinkage", optional_json(r.axial_shrinkage)}};
}

/// What the frame of a specimen between plates reads; null for anything else. No stiffness: it does not
/// yield.
ordered_json frame_json(const Case& input, const Model& model, const History& history) {
  if (!history.back().readings.axial_shrinkage) return nullptr;
  const double area = Instruments(input, model).area();
  const auto pull = [](const HistoryEntry& e) { return e.readings.frame_force.value_or(0); };
  const auto largest = std::max_element(history.begin(), history.end(),
                                        [&](const auto& a, const auto& b) { return pull(a) < pull(b); });
  ordered_json at_events = ordered_json::array();
  for (const HistoryEntry& entry : history)
    if (!entry.event.empty()) at_events.push_back(frame_reading_json(entry, area));
  const auto& frame = input.supports.frame;
  return {{"stiffness_N_per_um", optional_json(frame ? std::optional(frame->stiffness) : std::nullopt, 1e-3)},
          {"area_mm2", area},
          {"largest", frame_reading_json(*largest, area)},
          {"end", frame_reading_json(history.back(), area)},
          {"at_events", at_events}};
}

/// How far the free surface of a filling has sunk since all of it was placed; null where there is none.
ordered_json sink_json(const History& history) {
  const auto at = [](const HistoryEntry& entry) -> ordered_json {
    const SurfaceSink& sink = *entry.readings.sink;
    return {{"time_s", entry.time},
            {"event", entry.event},
            {"middle_um", 1e3 * sink.middle},
            {"mean_um", 1e3 * sink.mean},
            {"volume_mm3", sink.volume}};
  };
  if (!history.back().readings.sink) return nullptr;
  ordered_json at_events = ordered_json::array();
  for (const HistoryEntry& entry : history)
    if (!entry.event.empty() && entry.readings.sink) at_events.push_back(at(entry));
  return {{"end", at(history.back())}, {"at_events", at_events}};
}

/// How strength is laid out along the bond; null where it does not vary.
ordered_json strength_field_json(const Case& input) {
  const auto& field = input.materials.strength_field;
  if (!field) return nullptr;
  return {{"length_mm", field->length},
          {"weibull_modulus",
           field->weibull_modulus > 0 ? ordered_json(field->weibull_modulus) : ordered_json(nullptr)},
          {"seed", field->seed}};
}

ordered_json energies_json(const Energies& e, double largest_error) {
  return {{"shrinkage_work_mJ", e.shrinkage_work},
          {"load_work_mJ", e.load_work},
          {"elastic_tooth_mJ", e.elastic_tooth},
          {"elastic_filling_mJ", e.elastic_filling},
          {"elastic_bond_mJ", e.elastic_bond},
          {"elastic_support_mJ", e.elastic_support},
          {"set_in_mJ", e.set_in},
          {"fracture_mJ", e.fracture},
          {"viscous_mJ", e.viscous},
          {"flow_mJ", e.flow},
          {"largest_relative_error", largest_error}};
}

}  // namespace

ordered_json summarise(const Case& input, const Model& model, const History& history,
                       double largest_energy_error, bool finished) {
  ordered_json summary{{"case", input.name}, {"title", input.title}, {"invented", input.invented}};
  summary["caution"] = caution_line;
  summary["mode"] = input.solver.mode == Mode::intact ? "intact" : "debonding";
  summary["reached_the_end"] = finished;
  summary["end_time_s"] = history.back().time;
  summary["chair_time_s"] = input.plan.chair_time;
  summary["timeline"] = timeline_of(input.plan);
  summary["composites"] = ordered_json::array();
  summary["composites_that_flow"] = ordered_json::array();
  for (const auto& [name, composite] : input.materials.composites) {
    summary["composites"].push_back(name);
    if (composite.flow.flows()) summary["composites_that_flow"].push_back(name);
  }
  summary["c_factors"] = c_factors(input, model.mesh);
  summary["averaging_length_mm"] = averaging_length;
  summary["strength_field"] = strength_field_json(input);
  summary["bond"] = model.mesh.bond.empty() ? ordered_json::array() : bond_json(history);
  summary["cusp_deflection"] = deflection_json(history);
  summary["frame"] = frame_json(input, model, history);
  summary["surface_sink"] = sink_json(history);
  summary["tensile_stress_at_events"] = tensile_json(history);
  if (!model.timeline.bites.empty()) summary["bites"] = bites_json(model, history);
  summary["cure"] = cure_json(input, history.back().cure, history.back().rows, finished);
  summary["warnings"] = cure_warnings(summary);
  summary["energy_bound"] =
      input.solver.mode == Mode::intact ? energy_bound_json(model, history) : ordered_json(nullptr);
  summary["energies_at_end"] = energies_json(history.back().energies, largest_energy_error);
  summary["element_size_at_bond_mm"] = input.mesh_size.bond;
  summary["mirror_walls"] = mirror_walls(input);
  return summary;
}

const ordered_json& bond_row(const ordered_json& summary, const std::string& wall,
                             const std::string& substrate) {
  for (const ordered_json& row : summary.at("bond"))
    if (row.at("wall") == wall && row.at("substrate") == substrate) return row;
  throw std::out_of_range(
      fmt::format("the summary has no row for wall {} and substrate {}", wall, substrate));
}

namespace {

/// What all that reads a summary takes for granted.
bool is_a_summary(const ordered_json& summary) {
  const auto all = [&](std::initializer_list<const char*> keys, auto is_right) {
    return std::ranges::all_of(
        keys, [&](const char* key) { return summary.contains(key) && is_right(summary.at(key)); });
  };
  return summary.is_object() &&
         all({"case", "title", "mode"}, [](const ordered_json& value) { return value.is_string(); }) &&
         all({"end_time_s", "chair_time_s"}, [](const ordered_json& value) { return value.is_number(); }) &&
         all({"reached_the_end"}, [](const ordered_json& value) { return value.is_boolean(); }) &&
         all({"bond"}, [](const ordered_json& rows) {
           return rows.is_array() && std::ranges::all_of(rows, [](const ordered_json& row) {
                    return row.is_object() && row.contains("wall") && row.contains("substrate");
                  });
         });
}

}  // namespace

ordered_json read_summary(const std::filesystem::path& folder) {
  std::ifstream file(folder / ResultLayout::summary);
  ordered_json summary = ordered_json::parse(file, nullptr, false);
  if (!is_a_summary(summary))
    throw CaseError(
        fmt::format("{} holds no readable {}; run the case again", folder.string(), ResultLayout::summary));
  return summary;
}

}  // namespace setstress
