#include <fmt/format.h>

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/odds/odds_database.hpp"
#include "cases/odds/odds_report.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

ordered_json indices_json(const Odds& odds, const InputIndices& indices) {
  ordered_json inputs = ordered_json::array();
  for (std::size_t i = 0; i < odds.inputs.size(); ++i) {
    const VarianceShare &first = indices.first[i], &total = indices.total[i];
    inputs.push_back({{"input", odds.inputs[i].words},
                      {"first_order", first.value},
                      {"first_order_interval_95", {first.low, first.high}},
                      {"total", total.value},
                      {"total_interval_95", {total.low, total.high}}});
  }
  return {{"predicted_of_draws_left_out", indices.predicted}, {"inputs", inputs}};
}

ordered_json wall_json(const Odds& odds, const InputColumns& columns, std::size_t wall,
                       const WallOdds& found) {
  const PairedOdds& p = found.odds;
  ordered_json json{{"wall", odds.walls[wall].wall},
                    {"draws", p.draws},
                    {"second_lower", p.lower},
                    {"alike", p.same},
                    {"share_second_lower", p.second_lower.value},
                    {"share_interval_95", {p.second_lower.low, p.second_lower.high}},
                    {"verdict", verdict(odds, p)},
                    {"difference", {{"median", p.median}, {"p05", p.p05}, {"p95", p.p95}}}};
  for (const Deciding& d : found.deciding)
    json["rank_correlations"].push_back({{"input", columns.words[d.column]},
                                         {"value", d.rank.value},
                                         {"interval_95", {d.rank.low, d.rank.high}}});
  json["variance"] = found.indices ? indices_json(odds, *found.indices) : ordered_json(nullptr);
  json["best_cut"] = found.cut ? ordered_json{{"second_lower_where", cut_words(columns, *found.cut)},
                                              {"at", found.cut->at},
                                              {"right", found.cut->right},
                                              {"right_without", found.cut->without}}
                               : ordered_json(nullptr);
  return json;
}

ordered_json inputs_json(const Odds& odds) {
  ordered_json inputs = ordered_json::array();
  for (const UncertainInput& input : odds.inputs) {
    ordered_json json{{"input", input.words}, {"unit", input.unit}};
    if (input.spread.cov > 0) json["factor_cov"] = input.spread.cov;
    if (input.spread.high > input.spread.low)
      json["low"] = input.spread.low, json["high"] = input.spread.high;
    if (!input.spread.laws.empty()) json["laws"] = input.spread.laws, json["weights"] = input.spread.weights;
    json["basis"] = input.spread.basis;
    json["source"] = input.spread.source;
    json["place"] = input.spread.place;
    inputs.push_back(json);
  }
  return inputs;
}

std::string in_quotes(const std::string& text) {
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

}  // namespace

ordered_json odds_json(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  ordered_json measures = ordered_json::array();
  for (std::size_t m = 0; m < odds.measures.size(); ++m) {
    ordered_json by_wall = ordered_json::array();
    for (std::size_t wall = 0; wall < odds.walls.size(); ++wall)
      if (const auto& found = judged.walls[m][wall])
        by_wall.push_back(wall_json(odds, judged.columns, wall, *found));
    measures.push_back(
        {{"measure", odds.measures[m].key}, {"words", odds.measures[m].words}, {"walls", by_wall}});
  }
  return {{"first", odds.first},
          {"second", odds.second},
          {"mode", odds.mode},
          {"sum", odds.sum},
          {"seed", odds.seed},
          {"draws_asked", odds.asked},
          {"draws_made", odds.rows.size()},
          {"in_lanes", odds.in_lanes},
          {"made", how_made(odds)},
          {"draws_with_numbers", odds.done()},
          {"element_size_at_bond_mm", odds.element_size},
          {"too_coarse_for_percentiles", !odds.coarse.empty()},
          {"sentences", odds_sentences(judged)},
          {"measures", measures},
          {"cut", odds.cuts},
          {"inputs", inputs_json(odds)},
          {"caution", caution_line}};
}

std::string odds_table(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  std::string table = "draw,status,message";
  for (const auto& headings : {input_headings(odds), number_headings(odds)})
    for (const std::string& heading : headings) table += "," + in_quotes(heading);
  table += '\n';
  const std::size_t numbers = 2 * odds.numbers_of_plan();
  for (const OddsRow& row : odds.rows) {
    table += fmt::format("{},{},{}", row.draw, name_of(row.status), in_quotes(row.message));
    for (std::size_t i = 0; i < odds.inputs.size(); ++i) {
      const double value = odds.values.at(static_cast<std::size_t>(row.draw - 1)).at(i);
      const auto& laws = odds.inputs[i].spread.laws;
      table += laws.empty() ? fmt::format(",{:.9g}", value) : "," + laws.at(static_cast<std::size_t>(value));
    }
    for (std::size_t n = 0; n < numbers; ++n)
      table += n < row.numbers.size() && !std::isnan(row.numbers[n]) ? fmt::format(",{:.9g}", row.numbers[n])
                                                                     : ",";
    table += '\n';
  }
  return table;
}

void write_odds(const JudgedOdds& judged, const std::filesystem::path& folder) {
  write_file(folder / "odds.json", odds_json(judged).dump(2) + "\n");
  write_file(folder / "odds.csv", odds_table(judged));
  constexpr std::array names{"odds.svg", "odds-difference.svg"};
  const std::vector<Chart> charts = odds_charts(judged);
  for (std::size_t c = 0; c < charts.size(); ++c) write_file(folder / names.at(c), chart_file(charts[c]));
}

}  // namespace setstress
