#include "cases/odds/odds_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>

#include "cases/odds/deciding.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t most_named = 3;

std::string difference_text(double value, const WhyMeasure& measure) {
  return measure.is_share ? fmt::format("{:+.1f} %", 100 * value) : fmt::format("{:+.2f}", value);
}

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

/// What is known of one wall under one measure; nothing where no draw has it.
struct WallOdds {
  PairedOdds odds;
  std::vector<Deciding> deciding;
  std::optional<Cut> cut;
};

std::optional<WallOdds> wall_odds(const Odds& odds, const InputColumns& columns, std::size_t measure,
                                  std::size_t wall) {
  const std::vector<double> differences = odds.differences(measure, wall);
  if (std::ranges::all_of(differences, [](double d) { return std::isnan(d); })) return std::nullopt;
  return WallOdds{odds_of(differences), deciding(columns, differences),
                  best_cut(columns.values, differences)};
}

std::string verdict(const Odds& odds, const PairedOdds& paired) {
  if (paired.same == paired.draws) return "no difference in any draw";
  if (paired.second_lower.low > 0.5) return fmt::format("\"{}\" is lower more often than not", odds.second);
  if (paired.second_lower.high < 0.5) return fmt::format("\"{}\" is lower more often than not", odds.first);
  return "the draws do not say which is lower more often";
}

std::string how_often(const Odds& odds, const PairedOdds& paired) {
  const std::string alike = paired.same > 0 ? fmt::format(" ({} alike count half)", paired.same) : "";
  return fmt::format("lower in \"{}\" in {} of {} draws{}: {}, 95 % interval {} to {}", odds.second,
                     paired.lower, paired.draws, alike, percent(paired.second_lower.value),
                     percent(paired.second_lower.low), percent(paired.second_lower.high));
}

std::string deciding_sentence(const InputColumns& columns, const WallOdds& wall) {
  if (wall.odds.draws < fewest_for_ranks)
    return fmt::format(" Fewer than {} draws do not tell which inputs decide.", fewest_for_ranks);
  if (wall.deciding.empty()) return " No input stands out.";
  std::vector<std::string> named;
  for (const Deciding& d : wall.deciding)
    if (named.size() < most_named)
      named.push_back(fmt::format("{} (rank correlation {:+.2f}, {:+.2f} to {:+.2f})",
                                  columns.words[d.column], d.rank.value, d.rank.low, d.rank.high));
  return fmt::format(" The difference goes most with {}.", fmt::join(named, ", "));
}

std::string cut_sentence(const Odds& odds, const InputColumns& columns, const WallOdds& wall) {
  if (!wall.cut) return "";
  return fmt::format(
      " Best single cut: \"{}\" is lower where {}, else \"{}\"; right in {} of the draws, {} without it.",
      odds.second, cut_words(columns, *wall.cut), odds.first, percent(wall.cut->right),
      percent(wall.cut->without));
}

std::string wall_sentence(const Odds& odds, const InputColumns& columns, std::size_t wall,
                          const WallOdds& found) {
  std::string words = wall_in_words(odds.walls[wall]);
  words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words.front())));
  const PairedOdds& paired = found.odds;
  if (paired.same == paired.draws)
    return fmt::format("{}: no difference in any of {} draws.", words, paired.draws);
  const WhyMeasure& measure = odds.measures.front();
  return fmt::format("{}: {}; {}. The difference is {} in the middle and {} to {} in nine draws of ten.",
                     words, how_often(odds, paired), verdict(odds, paired),
                     difference_text(paired.median, measure), difference_text(paired.p05, measure),
                     difference_text(paired.p95, measure)) +
         deciding_sentence(columns, found) + cut_sentence(odds, columns, found);
}

std::string opening_sentence(const Odds& odds) {
  std::string text = fmt::format("How sure: both plans under the same {} draws of {} uncertain inputs, {}.",
                                 odds.done(), odds.inputs.size(), odds.measures.front().words);
  if (!odds.coarse.empty())
    text += fmt::format(" Elements of {:g} mm: means alone, no percentiles or areas.", odds.element_size);
  return text;
}

/// Paste that stays soft pulls less, and that must not pass for a better plan; "" where none does.
std::string cure_sentence(const Odds& odds) {
  const int first = odds.under_cured(false), second = odds.under_cured(true);
  if (first + second == 0) return "";
  return fmt::format(
      "An increment is under-cured in {} of {} draws in \"{}\" and in {} in \"{}\": paste that has set less "
      "pulls "
      "less, and that is not a benefit.",
      first, odds.done(), odds.first, second, odds.second);
}

/// Messages of draws without numbers, equal ones once.
std::vector<std::string> failed_sentences(const Odds& odds) {
  std::map<std::string, std::vector<int>> by_message;
  for (const OddsRow& row : odds.rows)
    if (row.status != RunStatus::done) by_message[row.message].push_back(row.draw);
  std::vector<std::string> sentences;
  for (const auto& [message, draws] : by_message)
    sentences.push_back(fmt::format("{} draw{} could not be made and {} left out (number {}): {}",
                                    draws.size(), draws.size() == 1 ? "" : "s",
                                    draws.size() == 1 ? "is" : "are", fmt::join(draws, ", "), message));
  return sentences;
}

ordered_json finite(double value) {
  return std::isnan(value) ? ordered_json(nullptr) : ordered_json(value);
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
  json["best_cut"] = found.cut ? ordered_json{{"second_lower_where", cut_words(columns, *found.cut)},
                                              {"at", found.cut->at},
                                              {"right", found.cut->right},
                                              {"right_without", found.cut->without}}
                               : ordered_json(nullptr);
  return json;
}

ordered_json rows_json(const Odds& odds) {
  ordered_json rows = ordered_json::array();
  for (const OddsRow& row : odds.rows) {
    ordered_json numbers = ordered_json::array();
    for (const double number : row.numbers) numbers.push_back(finite(number));
    rows.push_back({{"draw", row.draw},
                    {"status", name_of(row.status)},
                    {"message", row.message},
                    {"numbers", numbers}});
  }
  return rows;
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

Chart empty_chart(const Odds& odds, const std::string& title, const std::string& axis) {
  return {
      title,
      {fmt::format("n = {} draws, the same for both plans; {}.", odds.done(), odds.measures.front().words)},
      {axis},
      {"", {}}};
}

Chart share_chart(const Odds& odds) {
  Chart chart = empty_chart(odds, fmt::format("How sure: draws in which {} is lower", odds.second),
                            "share of draws [%], with 95 % interval");
  chart.x.low = 0;
  chart.x.high = 100;
  ChartBand intervals{"", 0, ChartBand::Shape::lying_whiskers, {}};
  ChartSeries shares{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    const std::vector<double> differences = odds.differences(0, wall);
    if (std::ranges::all_of(differences, [](double d) { return std::isnan(d); })) continue;
    const PairedOdds p = odds_of(differences);
    const auto at = static_cast<double>(chart.y.words.size());
    chart.y.words.push_back(odds.walls[wall].wall == "all" ? "whole bond" : odds.walls[wall].wall);
    intervals.intervals.push_back({at, 100 * p.second_lower.low, 100 * p.second_lower.high});
    shares.points.push_back({100 * p.second_lower.value, at, how_often(odds, p)});
  }
  chart.bands.push_back(std::move(intervals));
  chart.series.push_back(std::move(shares));
  chart.rules.push_back({50, true, "as often"});
  return chart;
}

Chart difference_chart(const Odds& odds) {
  const WhyMeasure& measure = odds.measures.front();
  Chart chart = empty_chart(odds, fmt::format("How sure: {} minus {}", odds.second, odds.first),
                            "difference, median and 5 to 95 % of draws");
  ChartBand bands{"", 0, ChartBand::Shape::lying_whiskers, {}};
  ChartSeries medians{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    const std::vector<double> differences = odds.differences(0, wall);
    if (std::ranges::all_of(differences, [](double d) { return std::isnan(d); })) continue;
    const PairedOdds p = odds_of(differences);
    const auto at = static_cast<double>(chart.y.words.size());
    chart.y.words.push_back(odds.walls[wall].wall == "all" ? "whole bond" : odds.walls[wall].wall);
    bands.intervals.push_back({at, p.p05, p.p95});
    medians.points.push_back({p.median, at, difference_text(p.median, measure)});
  }
  chart.bands.push_back(std::move(bands));
  chart.series.push_back(std::move(medians));
  chart.rules.push_back({0, true, "alike"});
  return chart;
}

}  // namespace

std::vector<std::string> odds_sentences(const Odds& odds) {
  if (odds.done() == 0) return failed_sentences(odds);
  std::vector<std::string> sentences{opening_sentence(odds)};
  const InputColumns columns = columns_of(odds);
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall)
    if (const auto found = wall_odds(odds, columns, 0, wall))
      sentences.push_back(wall_sentence(odds, columns, wall, *found));
  if (const std::string cure = cure_sentence(odds); !cure.empty()) sentences.push_back(cure);
  for (const std::string& failed : failed_sentences(odds)) sentences.push_back(failed);
  for (const auto& [what, times] : odds.cuts)
    sentences.push_back(fmt::format("Cut to what is possible, {} times: {}.", times, what));
  sentences.emplace_back(
      "Odds are shares of draws of the inputs named in odds.json, from spreads many of which are "
      "assumptions; "
      "what the simulation leaves out is not in them.");
  return sentences;
}

std::string odds_text(const Odds& odds) {
  std::string text =
      fmt::format("How sure: second minus first under {} draws\n{:<24}{:>15}{:>16}{:>10}{:>22}\n",
                  odds.done(), "", "second lower", "95 % interval", "median", "5 to 95 %");
  const InputColumns columns = columns_of(odds);
  for (std::size_t m = 0; m < odds.measures.size(); ++m) {
    const WhyMeasure& measure = odds.measures[m];
    text += measure.words + "\n";
    for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
      const std::vector<double> differences = odds.differences(m, wall);
      if (std::ranges::all_of(differences, [](double d) { return std::isnan(d); })) continue;
      const PairedOdds p = odds_of(differences);
      text += fmt::format(
          "  {:<22}{:>15}{:>16}{:>10}{:>22}\n",
          odds.walls[wall].wall == "all" ? "whole bond" : odds.walls[wall].wall,
          p.same == p.draws ? "no difference" : percent(p.second_lower.value),
          fmt::format("{:.0f} to {:.0f} %", 100 * p.second_lower.low, 100 * p.second_lower.high),
          difference_text(p.median, measure),
          fmt::format("{} to {}", difference_text(p.p05, measure), difference_text(p.p95, measure)));
    }
  }
  return text;
}

ordered_json odds_json(const Odds& odds) {
  const InputColumns columns = columns_of(odds);
  ordered_json measures = ordered_json::array(), walls = ordered_json::array();
  for (const WallNumbers& wall : odds.walls) walls.push_back(wall.wall);
  for (std::size_t m = 0; m < odds.measures.size(); ++m) {
    ordered_json by_wall = ordered_json::array();
    for (std::size_t wall = 0; wall < odds.walls.size(); ++wall)
      if (const auto found = wall_odds(odds, columns, m, wall))
        by_wall.push_back(wall_json(odds, columns, wall, *found));
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
          {"draws_with_numbers", odds.done()},
          {"element_size_at_bond_mm", odds.element_size},
          {"too_coarse_for_percentiles", !odds.coarse.empty()},
          {"sentences", odds_sentences(odds)},
          {"measures", measures},
          {"cut", odds.cuts},
          {"inputs", inputs_json(odds)},
          {"walls", walls},
          {"numbers_are",
           "by plan (first, second): by measure, then wall; then 1 where an increment is under-cured"},
          {"rows", rows_json(odds)},
          {"caution", caution_line}};
}

std::vector<OddsRow> rows_before(const std::filesystem::path& folder, const Odds& odds) {
  std::ifstream file(folder / "odds.json");
  const ordered_json json = ordered_json::parse(file, nullptr, false);
  std::vector<OddsRow> rows;
  if (!json.is_object() || json.value("sum", "") != odds.sum) return rows;
  const std::size_t expected = 2 * odds.numbers_of_plan();
  for (const ordered_json& each : json.at("rows")) {
    OddsRow row{each.at("draw"), RunStatus::failed, each.at("message"), {}};
    for (const RunStatus status : {RunStatus::done, RunStatus::refused})
      if (each.at("status") == name_of(status)) row.status = status;
    for (const ordered_json& number : each.at("numbers"))
      row.numbers.push_back(number.is_null() ? std::numeric_limits<double>::quiet_NaN()
                                             : number.get<double>());
    if (row.status != RunStatus::done || row.numbers.size() == expected) rows.push_back(std::move(row));
  }
  return rows;
}

std::string odds_table(const Odds& odds) {
  std::string table = "draw,status,message";
  for (const UncertainInput& input : odds.inputs)
    table += "," + in_quotes(input.words + (input.unit.empty() ? "" : " [" + input.unit + "]"));
  for (const std::string& plan : {odds.first, odds.second}) {
    for (const WhyMeasure& measure : odds.measures)
      for (const WallNumbers& wall : odds.walls)
        table += "," + in_quotes(fmt::format("{}: {}, {} [-]", plan, measure.key, wall.wall));
    table += "," + in_quotes(plan + ": under-cured");
  }
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

std::vector<Chart> odds_charts(const Odds& odds) {
  if (odds.done() == 0) return {};
  return {share_chart(odds), difference_chart(odds)};
}

std::string odds_in_brief(const Odds& odds) {
  const InputColumns columns = columns_of(odds);
  std::optional<std::size_t> most;
  double largest = -1;
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    const std::vector<double> differences = odds.differences(0, wall);
    if (odds.walls[wall].wall == "all" ||
        std::ranges::all_of(differences, [](double d) { return std::isnan(d); }))
      continue;
    const double median = std::abs(odds_of(differences).median);
    if (median > largest) largest = median, most = wall;
  }
  if (odds.done() == 0) return "  No draw has numbers.\n";
  std::string text = fmt::format("  {}\n", opening_sentence(odds));
  if (most)
    text += fmt::format("  {}\n", wall_sentence(odds, columns, *most, *wall_odds(odds, columns, 0, *most)));
  if (const std::string cure = cure_sentence(odds); !cure.empty()) text += fmt::format("  {}\n", cure);
  return text;
}

void write_odds(const Odds& odds, const std::filesystem::path& folder) {
  write_file(folder / "odds.json", odds_json(odds).dump(2) + "\n");
  write_file(folder / "odds.csv", odds_table(odds));
  constexpr std::array names{"odds.svg", "odds-difference.svg"};
  const std::vector<Chart> charts = odds_charts(odds);
  for (std::size_t c = 0; c < charts.size(); ++c) write_file(folder / names.at(c), chart_file(charts[c]));
}

}  // namespace setstress
