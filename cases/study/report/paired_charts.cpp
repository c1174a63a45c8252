#include "cases/study/report/paired_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "cases/study/report/report_notes.hpp"
#include "cases/study/statistics/paired.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_plans = 6, most_in_all_pairs = 4, most_dots = 300;

std::optional<std::size_t> factor_in_pairs(const ResultTable& table) {
  for (std::size_t f = 0; f < table.factors.size(); ++f) {
    const FactorColumnInfo& factor = table.factors[f];
    if (!table.crossed.empty() && factor.name == table.crossed) return f;
    const bool is_choice =
        factor.keys.empty() && factor.values.size() >= 2 && factor.values.size() <= most_plans;
    if (table.crossed.empty() && table.design == Design::grid && is_choice) return f;
  }
  return std::nullopt;
}

/// What two runs of one draw have in common.
std::string draw_name(const ResultTable& table, const ResultRow& row, std::size_t factor) {
  if (!table.crossed.empty()) return fmt::format("{:09}", row.point);
  std::string name;
  for (std::size_t f = 0; f < row.inputs.size(); ++f)
    if (f != factor) name += text_of(row.inputs[f]) + "\n";
  return name;
}

bool is_higher_better(const ResultTable& table, std::size_t output) {
  return table.outputs[output].words.better == Better::higher;
}

std::string count_of_draws(const PairedRuns& paired, int used) {
  const char* what = paired.are_draws ? "draws" : "combinations of the other factors";
  const auto all = static_cast<int>(paired.runs.size());
  return all == used ? fmt::format("n = {} {}.", all, what)
                     : fmt::format("n = {} of {} {}; of the others a run failed, was refused or is not made.",
                                   used, all, what);
}

/// Fewest and most draws of all pairs that have two values.
std::string draws_note(const PairedRuns& paired, const std::vector<PairedOdds>& odds) {
  const auto [fewest, most] = std::ranges::minmax(odds, {}, &PairedOdds::draws);
  return fewest.draws == most.draws ? count_of_draws(paired, most.draws)
                                    : count_of_draws(paired, fewest.draws) + " The pair with the fewest.";
}

struct KnownPair {
  PlanPair pair;
  std::vector<double> differences;
  PairedOdds odds;
};
std::vector<KnownPair> known_pairs(const PairedRuns& paired, const std::vector<double>& values) {
  std::vector<KnownPair> known;
  for (const PlanPair& pair : pairs_of(paired)) {
    const std::vector<double> differences = differences_of(paired, pair, values);
    if (with_value(differences) > 0) known.push_back({pair, differences, odds_of(differences)});
  }
  if (known.empty()) throw std::invalid_argument("no draw has a value with two plans");
  return known;
}

std::vector<PairedOdds> odds_in(const std::vector<KnownPair>& pairs) {
  std::vector<PairedOdds> odds;
  for (const KnownPair& each : pairs) odds.push_back(each.odds);
  return odds;
}

/// Share of draws in which the second plan is the better; alike counts half.
Share share_better(const PairedOdds& odds, bool higher) {
  if (!higher) return odds.second_lower;
  return share_of(odds.draws - odds.lower - odds.same + 0.5 * odds.same, odds.draws);
}

}  // namespace

std::optional<PairedRuns> paired_runs(const ResultTable& table) {
  const auto factor = factor_in_pairs(table);
  if (!factor) return std::nullopt;
  PairedRuns paired{*factor, {}, {}, is_random(table.design)};
  for (const Value& value : table.factors[*factor].values) paired.plans.push_back(text_of(value));
  std::map<std::string, std::vector<std::size_t>> draws;
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const auto plan = std::ranges::find(paired.plans, text_of(table.rows[r].inputs[*factor]));
    if (plan == paired.plans.end()) continue;
    auto& runs = draws[draw_name(table, table.rows[r], *factor)];
    runs.resize(paired.plans.size(), table.rows.size());
    runs[static_cast<std::size_t>(plan - paired.plans.begin())] = r;
  }
  for (auto& [name, runs] : draws) paired.runs.push_back(std::move(runs));
  return paired;
}

std::vector<PlanPair> pairs_of(const PairedRuns& paired) {
  std::vector<PlanPair> pairs;
  const std::size_t firsts = paired.plans.size() <= most_in_all_pairs ? paired.plans.size() : 1;
  for (std::size_t a = 0; a < firsts; ++a)
    for (std::size_t b = a + 1; b < paired.plans.size(); ++b) pairs.push_back({a, b});
  return pairs;
}

std::string difference_name(const PairedRuns& paired, const PlanPair& pair) {
  return fmt::format("{} minus {}", paired.plans[pair.second], paired.plans[pair.first]);
}

std::vector<double> differences_of(const PairedRuns& paired, const PlanPair& pair,
                                   const std::vector<double>& values) {
  std::vector<double> differences;
  for (const std::vector<std::size_t>& runs : paired.runs) {
    const std::size_t a = runs[pair.first], b = runs[pair.second];
    differences.push_back(a < values.size() && b < values.size() ? values[b] - values[a] : std::nan(""));
  }
  return differences;
}

FactorColumn by_draw(const FactorColumn& factor, const PairedRuns& paired) {
  FactorColumn column{factor.name, {}, {}};
  for (const std::vector<std::size_t>& runs : paired.runs) {
    const std::size_t run = *std::ranges::min_element(runs);  // any plan's: they have the same draw
    if (factor.is_number())
      column.numbers.push_back(factor.numbers[run]);
    else
      column.words.push_back(factor.words[run]);
  }
  return column;
}

Chart difference_chart(const ResultTable& table, std::size_t output, const PairedRuns& paired,
                       const std::vector<double>& values) {
  const std::vector<KnownPair> pairs = known_pairs(paired, values);
  const OutputColumnInfo& column = table.outputs[output];
  Chart chart{fmt::format("{}: difference between plans", label_of(column)),
              {draws_note(paired, odds_in(pairs)) + (paired.are_draws ? " Each pair under the same draw."
                                                                      : " Each pair with all else the same."),
               count_note(table, with_value(values)), fixed_note(table, {paired.factor}, false)},
              {fmt::format("difference [{}]", column.words.unit)},
              {"", {}}};
  ChartSeries all{paired.are_draws ? "draws" : "combinations", 5, ChartSeries::Shape::dots, {}};
  ChartSeries median{"median", 0, ChartSeries::Shape::dots, {}};
  ChartBand spread{
      paired.are_draws ? "5 to 95 % of draws" : "5 to 95 %", 0, ChartBand::Shape::lying_whiskers, {}};
  for (const auto& [pair, differences, odds] : pairs) {
    const auto row = static_cast<double>(chart.y.words.size());
    const std::size_t step = 1 + differences.size() / most_dots;
    for (std::size_t d = 0; d < differences.size(); d += step)
      if (!std::isnan(differences[d])) all.points.push_back({differences[d], row + 0.25});
    median.points.push_back({odds.median, row - 0.1,
                             fmt::format("{}: median {:.3g}, 5 to 95 % {:.3g} to {:.3g}{}",
                                         difference_name(paired, pair), odds.median, odds.p05, odds.p95,
                                         odds.same == odds.draws ? "; no difference in any" : "")});
    spread.intervals.push_back({row - 0.1, odds.p05, odds.p95});
    chart.y.words.push_back(difference_name(paired, pair));
  }
  chart.bands.push_back(spread);
  chart.series = {all, median};
  chart.rules.push_back({0, true, "no difference"});
  return chart;
}

Chart better_chart(const ResultTable& table, std::size_t output, const PairedRuns& paired,
                   const std::vector<double>& values) {
  const std::vector<KnownPair> pairs = known_pairs(paired, values);
  const bool higher = is_higher_better(table, output);
  const OutputColumnInfo& column = table.outputs[output];
  const char* word = higher ? "higher" : "lower";
  Chart chart{
      fmt::format("{}: how often a plan is {}{}", label_of(column), word,
                  column.words.better == Better::unsaid ? "" : ", and so better"),
      {draws_note(paired, odds_in(pairs)) +
           (paired.are_draws ? " Exactly alike counts half. Bars: 95 %, as for independent draws (Clopper "
                               "and Pearson 1934)."
                             : " Exactly alike counts half. The values were chosen, not drawn: a share of "
                               "these combinations, not a probability."),
       count_note(table, with_value(values)), fixed_note(table, {paired.factor}, false)},
      {fmt::format("share of {} [-]", paired.are_draws ? "draws" : "combinations")},
      {"", {}}};
  ChartSeries shares{"", 0, ChartSeries::Shape::dots, {}};
  ChartBand spread{"", 0, ChartBand::Shape::lying_whiskers, {}};
  for (const auto& [pair, differences, odds] : pairs) {
    const auto row = static_cast<double>(chart.y.words.size());
    const Share share = share_better(odds, higher);
    const std::string name =
        fmt::format("{} {} than {}", paired.plans[pair.second], word, paired.plans[pair.first]);
    shares.points.push_back({share.value, row,
                             odds.same == odds.draws ? fmt::format("{}: no difference in any", name)
                                                     : fmt::format("{}: {:.2f} ({:.2f} to {:.2f})", name,
                                                                   share.value, share.low, share.high)});
    spread.intervals.push_back({row, share.low, share.high});
    chart.y.words.push_back(name);
  }
  if (paired.are_draws) chart.bands.push_back(spread);
  chart.series.push_back(shares);
  chart.x.low = 0;
  chart.x.high = 1;
  chart.rules.push_back({0.5, true, "a half"});
  return chart;
}

std::vector<std::string> paired_sentences(const ResultTable& table, std::size_t output,
                                          const PairedRuns& paired, const std::vector<double>& values) {
  const bool higher = is_higher_better(table, output);
  std::vector<std::string> sentences;
  const char* what = paired.are_draws ? "draws" : "combinations";
  for (const auto& [pair, differences, odds] : known_pairs(paired, values)) {
    const std::string &first = paired.plans[pair.first], &second = paired.plans[pair.second];
    const int wins = higher ? odds.draws - odds.lower - odds.same : odds.lower;
    const Share share = share_better(odds, higher);
    if (odds.same == odds.draws) {
      sentences.push_back(
          fmt::format("{} and {}: no difference in any of {} {}", second, first, odds.draws, what));
      continue;
    }
    std::string sentence = fmt::format("{} is {} than {} in {} of {} {}", second, higher ? "higher" : "lower",
                                       first, wins, odds.draws, what);
    if (odds.same > 0) sentence += fmt::format(" and exactly alike in {}", odds.same);
    if (paired.are_draws)
      sentence +=
          fmt::format("; {:.0f} % ({:.0f} to {:.0f})", 100 * share.value, 100 * share.low, 100 * share.high);
    sentences.push_back(sentence);
  }
  return sentences;
}

}  // namespace setstress
