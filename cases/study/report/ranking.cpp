#include "cases/study/report/ranking.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace setstress {

namespace {

std::string percent(double share) {
  return fmt::format("{:.0f}", 100 * share);
}

std::string interval_text(const Ranking& ranking, const VarianceShare& share) {
  return ranking.is_exact ? percent(share.share.value) + " %"
                          : fmt::format("{} % ({} to {})", percent(share.share.value),
                                        percent(share.share.low), percent(share.share.high));
}

/// Which way an output goes with a factor, where that is sure.
std::string direction(const std::optional<RankCorrelation>& rank) {
  if (!rank || (rank->low <= 0 && rank->high >= 0)) return "";
  return rank->value > 0 ? "the more the higher" : "the more the lower";
}

Ranking sorted(const std::vector<FactorColumn>& factors, const std::vector<VarianceShare>& shares,
               const std::vector<std::vector<double>>& inputs, const std::vector<double>& values) {
  Ranking ranking;
  for (std::size_t f = 0; f < factors.size(); ++f)
    ranking.factors.push_back(
        {factors[f].name, shares[f], inputs[f].empty() ? std::nullopt : rank_correlation(inputs[f], values)});
  std::ranges::stable_sort(ranking.factors, std::ranges::greater{},
                           [](const RankedFactor& each) { return each.share.share.value; });
  return ranking;
}

/// Means over the runs of each draw, in the order of `numbers`; NaN where a run has no value.
std::vector<double> means_by_draw(const std::vector<int>& draw, const std::vector<double>& values) {
  std::map<int, std::pair<double, int>> sums;
  for (std::size_t r = 0; r < values.size(); ++r) {
    auto& [sum, count] = sums[draw[r]];
    sum += values[r], ++count;
  }
  std::vector<double> means;
  for (const auto& [number, sum] : sums) means.push_back(sum.first / sum.second);
  return means;
}

std::vector<double> first_by_draw(const std::vector<int>& draw, const std::vector<double>& column) {
  std::map<int, double> first;
  for (std::size_t r = 0; r < column.size(); ++r) first.emplace(draw[r], column[r]);
  std::vector<double> values;
  for (const auto& [number, value] : first) values.push_back(value);
  return values;
}

bool is_whole(const ResultTable& table, const std::vector<double>& values) {
  return table.dropped == 0 && std::ranges::none_of(values, [](double value) { return std::isnan(value); });
}

Ranking of_grid(const std::vector<FactorColumn>& factors, const std::vector<double>& values) {
  Ranking ranking = sorted(factors, shares_of_whole_grid(factors, values),
                           std::vector<std::vector<double>>(factors.size()), {});
  ranking.is_exact = true;
  ranking.basis = fmt::format("a whole grid of {} runs", values.size());
  return ranking;
}

}  // namespace

std::optional<Ranking> ranking_of(const ResultTable& table, const std::vector<double>& values) {
  if (table.design == Design::one_at_a_time || table.design == Design::sobol_indices) return std::nullopt;
  std::vector<FactorColumn> factors;
  const std::vector<FactorColumn> all = factor_columns(table);
  for (const std::size_t f : varied(all)) factors.push_back(all[f]);
  if (factors.empty()) return std::nullopt;
  if (table.design == Design::grid && is_whole(table, values)) {
    if (shares_of_whole_grid(factors, values).empty()) return std::nullopt;
    return of_grid(factors, values);
  }
  const std::vector<int> draw = draws_of(table);
  const std::vector<VarianceShare> shares = variance_shares(factors, values, draw);
  if (shares.empty()) return std::nullopt;
  const bool is_drawn = is_random(table.design);
  std::vector<std::vector<double>> inputs;
  for (const FactorColumn& factor : factors)
    inputs.push_back(!is_drawn      ? std::vector<double>()
                     : draw.empty() ? factor.numbers
                                    : first_by_draw(draw, factor.numbers));
  Ranking ranking = sorted(factors, shares, inputs, draw.empty() ? values : means_by_draw(draw, values));
  ranking.has_gaps = !is_drawn;
  ranking.basis = draw.empty()
                      ? fmt::format("{} runs", with_value(values))
                      : fmt::format("draws that have been run with every value of {}", table.crossed);
  return ranking;
}

std::optional<Ranking> ranking_of_difference(const std::vector<FactorColumn>& inputs,
                                             const std::vector<double>& differences) {
  const std::vector<VarianceShare> shares = variance_shares(inputs, differences);
  if (shares.empty()) return std::nullopt;
  std::vector<std::vector<double>> numbers;
  for (const FactorColumn& input : inputs) numbers.push_back(input.numbers);
  Ranking ranking = sorted(inputs, shares, numbers, differences);
  ranking.basis = fmt::format("{} draws", with_value(differences));
  return ranking;
}

Chart ranking_chart(const std::string& of, const Ranking& ranking, const std::vector<std::string>& notes) {
  Chart chart{fmt::format("{}: what decides", of),
              {fmt::format(
                  "Share of the variance that goes with each factor alone, from {}; what is missing to 100 % "
                  "is done by factors together, or lies within classes of values.",
                  ranking.basis)},
              {"share of the variance [-]"},
              {"", {}}};
  chart.notes.emplace_back(
      ranking.is_exact
          ? "Every combination was run: exact for these values, each taken as equally likely; no interval."
          : "Bars: 95 % (bootstrap). Method: Plischke et al. 2013, Eur J Oper Res 226:536-550.");
  if (ranking.has_gaps)
    chart.notes.emplace_back(
        "Combinations are missing, so that factors go together in part: a share may be another factor's.");
  chart.notes.insert(chart.notes.end(), notes.begin(), notes.end());
  ChartSeries shares{"", 0, ChartSeries::Shape::dots, {}};
  ChartBand spread{"", 0, ChartBand::Shape::lying_whiskers, {}};
  for (const RankedFactor& each : ranking.factors) {
    const auto row = static_cast<double>(chart.y.words.size());
    const std::string way = direction(each.rank);
    shares.points.push_back({each.share.share.value, row,
                             fmt::format("{}: {}{}{}", each.label, interval_text(ranking, each.share),
                                         way.empty() ? "" : ", ", way)});
    spread.intervals.push_back({row, each.share.share.low, each.share.share.high});
    chart.y.words.push_back(each.label);
  }
  chart.x.low = 0;
  chart.x.high = 1;
  if (!ranking.is_exact) chart.bands.push_back(spread);
  chart.series.push_back(shares);
  return chart;
}

std::string ranking_table(const Ranking& ranking) {
  std::string rows;
  for (const RankedFactor& each : ranking.factors)
    rows += fmt::format("<tr><td class=\"word\">{}</td><td>{}</td><td>{}</td><td class=\"word\">{}</td></tr>",
                        markup_safe(each.label), interval_text(ranking, each.share),
                        each.rank ? fmt::format("{:.2f} ({:.2f} to {:.2f})", each.rank->value, each.rank->low,
                                                each.rank->high)
                                  : "",
                        direction(each.rank));
  return fmt::format(
      "<div class=\"wide\"><table><tr><th>factor</th><th>share of the variance{0}</th><th>rank "
      "correlation{0}</th>"
      "<th class=\"word\">goes with the output</th></tr>{1}</table></div>",
      ranking.is_exact ? "" : " (95 %)", rows);
}

std::string ranking_sentence(const Ranking& ranking) {
  constexpr std::size_t most = 3;
  std::vector<std::string> parts;
  for (const RankedFactor& each : ranking.factors) {
    if (parts.size() == most || each.share.share.value <= 0) break;
    const std::string way = direction(each.rank);
    parts.push_back(fmt::format("{} {}{}{}", each.label, interval_text(ranking, each.share),
                                way.empty() ? "" : ", ", way));
  }
  return fmt::format("{}", fmt::join(parts, "; "));
}

}  // namespace setstress
