#include "cases/result/gap_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "solver/gaps/closed_surfaces.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

ordered_json finite_or_null(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

ordered_json record_json(const GapRecord& record) {
  const auto optional = [](const auto& value) {
    return value ? ordered_json(*value) : ordered_json(nullptr);
  };
  return {{"number", record.number},
          {"appeared_s", record.appeared},
          {"merged_into", optional(record.merged_into)},
          {"merged_s", record.merged_into ? ordered_json(record.merged_at) : ordered_json(nullptr)},
          {"open_since_s", optional(record.open_since)}};
}

}  // namespace

GapReport::GapReport(const Model& model, double threshold)
    : walls_(model.mesh.walls),
      facets_(model.mesh.bond.size()),
      left_out_(std::string(model.gap_fluid ? "bacteria in gaps" : "fluid and bacteria in gaps") +
                ", water uptake, fatigue; gaps smaller than a bond facet"),
      finder_(model.mesh, model.substrates, closed_surfaces(model), threshold) {}

void GapReport::add(const Frame& frame) {
  GapInstant instant{frame.time, frame.event, numbers_.follow(frame.time, finder_.of(frame))};
  for (NumberedGap& numbered : instant.gaps) numbered.gap.points = {};
  for (const GapPocket& pocket : frame.pockets)
    instant.pockets.emplace_back(numbers_.number_at().at(static_cast<std::size_t>(pocket.first_point)),
                                 pocket);
  instants_.push_back(std::move(instant));
}

std::vector<int> GapReport::gap_of_facet() const {
  const std::vector<int>& number_at = numbers_.number_at();
  std::vector<int> gaps(facets_, 0);
  for (std::size_t f = 0; f < facets_; ++f) {
    std::map<int, double> share;
    double gone = 0;
    for (std::size_t p = 0; p < 6 && 6 * f + p < number_at.size(); ++p)
      if (const int number = number_at[6 * f + p]; number > 0) {
        share[number] += facet_points()[p].weight;
        gone += facet_points()[p].weight;
      }
    if (gone >= 0.5)
      gaps[f] = std::ranges::max_element(share, {}, &std::pair<const int, double>::second)->first;
  }
  return gaps;
}

ordered_json GapReport::gap_json(const NumberedGap& numbered) const {
  const Gap& gap = numbered.gap;
  ordered_json where = ordered_json::array();
  for (const GapShare& share : gap.shares)
    where.push_back({{"wall", walls_[static_cast<std::size_t>(share.wall)]},
                     {"substrate", name_of(share.substrate)},
                     {"area_mm2", share.area}});
  return {{"number", numbered.number},
          {"where", where},
          {"area_mm2", gap.area},
          {"volume_nL", 1e3 * gap.volume},
          {"widest_um", 1e3 * gap.widest},
          {"mean_um", 1e3 * gap.mean_opening()},
          {"sound_bond_to_margin_mm", finite_or_null(gap.sound_to_margin)},
          {"throat_um", 1e3 * gap.throat},
          {"open_area_mm2", gap.area_open},
          {"open_to_margin", gap.open_to_margin}};
}

ordered_json GapReport::json() const {
  const auto at = [this](const GapInstant& instant) -> ordered_json {
    ordered_json gaps = ordered_json::array();
    for (const NumberedGap& gap : instant.gaps) gaps.push_back(gap_json(gap));
    return {{"time_s", instant.time}, {"event", instant.event}, {"gaps", gaps}};
  };
  ordered_json at_events = ordered_json::array(), records = ordered_json::array();
  for (const GapInstant& instant : instants_)
    if (!instant.event.empty()) at_events.push_back(at(instant));
  for (const GapRecord& record : numbers_.records()) records.push_back(record_json(record));
  return {
      {"threshold_um", 1e3 * finder_.way_opening()},
      {"threshold_basis",
       "1 um unless set: about the size of the smallest bacteria (from memory); fluid passes narrower ways"},
      {"margin", "rim of the bond placed by then, but for planes of symmetry and other surfaces held"},
      {"left_out", left_out_},
      {"end", instants_.empty() ? ordered_json(nullptr) : at(instants_.back())},
      {"at_events", at_events},
      {"records", records}};
}

std::string GapReport::places(const Gap& gap) const {
  std::string places;
  for (const GapShare& share : gap.shares)
    places += fmt::format("{}{} on {} {:.9g}", places.empty() ? "" : "; ",
                          walls_[static_cast<std::size_t>(share.wall)], name_of(share.substrate), share.area);
  return places;
}

std::string GapReport::table() const {
  std::string table = heading;
  for (const GapInstant& instant : instants_)
    for (const auto& [number, gap] : instant.gaps)
      table +=
          fmt::format("{:.9g},\"{}\",{},\"{}\",{:.9g},{:.9g},{:.9g},{:.9g},{},{:.9g},{:.9g},{}\n",
                      instant.time, instant.event, number, places(gap), gap.area, 1e3 * gap.volume,
                      1e3 * gap.widest, 1e3 * gap.mean_opening(),
                      std::isfinite(gap.sound_to_margin) ? fmt::format("{:.9g}", gap.sound_to_margin) : "",
                      1e3 * gap.throat, gap.area_open, gap.open_to_margin ? 1 : 0);
  return table;
}

}  // namespace setstress
