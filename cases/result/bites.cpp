#include "cases/result/bites.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// Of `body` behind gaps; null where none is open onto it.
const StressBesideGaps* beside(const BiteReading& reading, const std::string& body) {
  const auto found =
      std::ranges::find_if(reading.beside, [&](const StressBesideGaps& s) { return s.body == body; });
  return found == reading.beside.end() ? nullptr : &*found;
}

ordered_json wall_json(const WallRow& row) {
  const BondStatistics& s = row.statistics;
  return {{"wall", wall_name(row)},
          {"mean_gap_um", 1e3 * s.mean_gap},
          {"largest_gap_um", 1e3 * s.largest_gap},
          {"gap_volume_nL", 1e3 * s.gap_volume},
          {"debonded_mm2", s.share_debonded * s.placed_area},
          {"share_of_whole_debonded", s.of_whole(s.share_debonded)}};
}

/// The bond and what lies behind its gaps at one instant.
ordered_json instant_json(const HistoryEntry& entry) {
  const BiteReading& reading = *entry.bite;
  ordered_json json{{"time_s", entry.time},
                    {"force_N", reading.force},
                    {"sink_um", 1e3 * reading.sink},
                    {"debonded_mm2", reading.debonded_area},
                    {"closed_mm2", reading.closed_area},
                    {"closed_force_N", reading.closed_force}};
  json["walls"] = ordered_json::array();
  for (const WallRow& row : entry.rows)
    if (!row.substrate) json["walls"].push_back(wall_json(row));
  json["behind_gaps"] = ordered_json::array();
  for (const StressBesideGaps& s : reading.beside)
    json["behind_gaps"].push_back({{"body", s.body},
                                   {"area_mm2", s.area},
                                   {"tension_mean_MPa", s.tension_mean},
                                   {"tension_p95_MPa", s.tension_p95},
                                   {"compression_mean_MPa", s.compression_mean},
                                   {"compression_p95_MPa", s.compression_p95}});
  return json;
}

/// First and last instant of a bite in the history, and that of its full force; empty where the run stopped
/// before it.
struct Span {
  std::size_t before, full, after;
};
constexpr double same_instant = 1e-9;  // [s]

std::optional<Span> span_of(const History& history, int bite) {
  std::optional<Span> span;
  for (std::size_t i = 0; i < history.size(); ++i) {
    if (!history[i].bite || history[i].bite->bite != bite) continue;
    if (!span) span = Span{i, i, i};
    span->after = i;
    if (history[i].bite->force > history[span->full].bite->force * (1 + 1e-9)) span->full = i;
    if (history[i].bite->force >= history[span->full].bite->force * (1 - 1e-9)) span->full = i;
  }
  return span;
}

}  // namespace

std::string bites_table(const History& history) {
  std::string table =
      "time_s,event,bite,bite_force_N,sink_um,debonded_mm2,closed_mm2,closed_force_N,enamel_tension_mean_MPa,"
      "enamel_tension_p95_MPa,enamel_compression_mean_MPa,enamel_compression_p95_MPa,dentin_tension_mean_MPa,"
      "dentin_tension_p95_MPa,dentin_compression_mean_MPa,dentin_compression_p95_MPa\n";
  for (const HistoryEntry& entry : history) {
    if (!entry.bite) continue;
    const BiteReading& r = *entry.bite;
    table += fmt::format("{:.9g},\"{}\",{}", entry.time, entry.event, r.bite);
    for (const double value : {r.force, 1e3 * r.sink, r.debonded_area, r.closed_area, r.closed_force})
      table += fmt::format(",{:.9g}", value);
    for (const char* body : {"enamel", "dentin"})
      if (const StressBesideGaps* s = beside(r, body))
        table += fmt::format(",{:.9g},{:.9g},{:.9g},{:.9g}", s->tension_mean, s->tension_p95,
                             s->compression_mean, s->compression_p95);
      else
        table += ",,,,";
    table += '\n';
  }
  return table;
}

ordered_json bites_json(const Model& model, const History& history) {
  const std::vector<ContactPatch> contacts = BiteReport(model).contacts();
  ordered_json bites = ordered_json::array();
  for (std::size_t b = 0; b < contacts.size(); ++b) {
    const Bite& bite = model.timeline.bites[b];
    const auto span = span_of(history, static_cast<int>(b) + 1);
    if (!span || history[span->after].time < bite.end() - same_instant) break;  // stopped before its end
    const Eigen::Vector3d& at = contacts[b].centre;
    bites.push_back({{"bite", b + 1},
                     {"force_N", bite.force},
                     {"surface", bite.surface},
                     {"centre_mm", {at.x(), at.y(), at.z()}},
                     {"patch_mm2", contacts[b].area},
                     {"patch_pressure_MPa", bite.force / contacts[b].area},
                     {"cycles", bite.cycles},
                     {"before", instant_json(history[span->before])},
                     {"full", instant_json(history[span->full])},
                     {"after", instant_json(history[span->after])}});
  }
  return {{"left_out", bites_leave_out}, {"bites", bites}};
}

}  // namespace setstress
