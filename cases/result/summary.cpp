#include "cases/result/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

#include "cases/check/case_check.hpp"
#include "cases/check/cure_json.hpp"
#include "solver/report/averaged_bond.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

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
  return json;
}

ordered_json bond_json(const History& history) {
  ordered_json rows = ordered_json::array();
  for (std::size_t r = 0; r < history.front().rows.size(); ++r) {
    const WallRow& row = history.front().rows[r];
    ordered_json over_time = ordered_json::array();
    for (const HistoryEntry& entry : history)
      if (!entry.event.empty()) over_time.push_back(statistics_json(entry, r));
    rows.push_back({{"wall", wall_name(row)},
                    {"substrate", substrate_name(row)},
                    {"area_mm2", row.statistics.area},
                    {"worst", statistics_json(history[worst_instant(history, r)], r)},
                    {"end", statistics_json(history.back(), r)},
                    {"at_events", over_time}});
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
          {"largest_relative_error", largest_error}};
}

std::string row_text(const ordered_json& row, bool debonding) {
  const ordered_json &worst = row["worst"], &end = row["end"];
  if (end["stress_to_strength_p95"].is_null()) return "";
  const std::string wall = row["wall"].get<std::string>();
  std::string text = fmt::format(
      "  {:<18}{:9.2f}{:12.2f}{:>16}{:12.0f} %", wall == "all" ? "whole bond" : wall,
      row["area_mm2"].get<double>(), worst["stress_to_strength_p95"].get<double>(),
      duration_text(worst["time_s"].get<double>()), 100 * worst["area_fraction_above_1"].get<double>());
  if (debonding)
    text += fmt::format("{:11.0f} %{:13.2f}", 100 * end["debonded_fraction"].get<double>(),
                        end["largest_gap_um"].get<double>());
  return text + "\n";
}

/// Every wall at its worst instant.
std::string bond_text(const ordered_json& summary) {
  if (summary["bond"].empty()) return "";
  const bool debonding = summary["mode"] == "debonding";
  std::string text = fmt::format(
      "\nThe bond at each wall's worst instant; the ratio is stress over strength, 1 is failure\n"
      "  {:<18}{:>9}{:>12}{:>16}{:>14}{}\n",
      "wall", "area mm2", "ratio p95*", "after bonding", "area above 1*",
      debonding ? fmt::format("{:>13}{:>13}", "off at end", "gap um") : "");
  for (const ordered_json& row : summary["bond"])
    if (row["substrate"] == "all") text += row_text(row, debonding);
  text += fmt::format(
      "  * of stress averaged over {} mm, the picture's is not; 95 % of the area stays below p95\n",
      averaging_length);
  if (debonding) text += "  gap: at its widest point, at the end; the picture's are means of facets\n";
  return text;
}

/// "5.2 + 5.3": buccal and lingual [um].
std::string pair_text(const ordered_json& pair) {
  return fmt::format("{:.1f} + {:.1f}", pair["buccal_um"].get<double>(), pair["lingual_um"].get<double>());
}

/// What the cusps do at the end, by each of the ways in which that is measured.
std::string cusps_text(const ordered_json& cusps) {
  if (cusps.is_null()) return "";
  const ordered_json& end = cusps["end"];
  std::string text = fmt::format(
      "\nCusps move towards the cavity by {:.1f} (buccal) and {:.1f} um (lingual) at the end: means over all "
      "of their occlusal surface\nPoints of them, buccal + lingual, um: {} where each moves most",
      end["buccal_um"].get<double>(), end["lingual_um"].get<double>(), pair_text(end["largest_point"]));
  if (end.contains("edge_middle"))
    text += fmt::format("; at the cavity's edge {} at its mesial end, {} in its middle, {} at its distal end",
                        pair_text(end["edge_mesial"]), pair_text(end["edge_middle"]),
                        pair_text(end["edge_distal"]));
  return text + "\n";
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
  for (const auto& [name, composite] : input.materials.composites) summary["composites"].push_back(name);
  summary["c_factors"] = c_factors(input, model.mesh);
  summary["averaging_length_mm"] = averaging_length;
  summary["bond"] = model.mesh.bond.empty() ? ordered_json::array() : bond_json(history);
  summary["cusp_deflection"] = deflection_json(history);
  summary["tensile_stress_at_events"] = tensile_json(history);
  summary["cure"] = cure_json(input, history.back().cure, history.back().rows, finished);
  summary["warnings"] = cure_warnings(summary);
  summary["energies_at_end"] = energies_json(history.back().energies, largest_energy_error);
  return summary;
}

const ordered_json& bond_row(const ordered_json& summary, const std::string& wall,
                             const std::string& substrate) {
  for (const ordered_json& row : summary.at("bond"))
    if (row.at("wall") == wall && row.at("substrate") == substrate) return row;
  throw std::out_of_range(
      fmt::format("the summary has no row for wall {} and substrate {}", wall, substrate));
}

ordered_json read_summary(const std::filesystem::path& folder) {
  std::ifstream file(folder / ResultLayout::summary);
  ordered_json summary = ordered_json::parse(file, nullptr, false);
  if (!summary.is_object() || !summary.contains("bond"))
    throw CaseError(fmt::format("{} holds no readable {}", folder.string(), ResultLayout::summary));
  return summary;
}

std::string summary_text(const ordered_json& summary) {
  std::string text = fmt::format("{}{} ({})\n", summary["title"].get<std::string>(),
                                 summary["invented"].get<bool>() ? ", invented for demonstration" : "",
                                 summary["mode"].get<std::string>());
  text += bond_text(summary);
  if (const std::string cure = cure_text(summary); !cure.empty()) text += "\n" + cure;
  text += cusps_text(summary["cusp_deflection"]);
  text += fmt::format("Chair time {}; largest energy error {:.2g} %\n",
                      duration_text(summary["chair_time_s"].get<double>()),
                      100 * summary["energies_at_end"]["largest_relative_error"].get<double>());
  return text;
}

}  // namespace setstress
