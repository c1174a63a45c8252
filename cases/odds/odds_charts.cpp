#include <fmt/format.h>

#include <algorithm>

#include "cases/odds/odds_report.hpp"

namespace setstress {

namespace {

Chart empty_chart(const Odds& odds, const std::string& title, const std::string& axis) {
  return {
      title,
      {fmt::format("n = {} draws, the same for both plans; {}.", odds.done(), odds.measures.front().words)},
      {axis},
      {"", {}}};
}

/// In what share of the draws the second plan is lower.
Chart share_chart(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  Chart chart = empty_chart(odds, fmt::format("How sure: draws in which {} is lower", odds.second),
                            "share of draws [%], with 95 % interval");
  chart.x.low = 0;
  chart.x.high = 100;
  ChartBand intervals{"", 0, ChartBand::Shape::lying_whiskers, {}};
  ChartSeries shares{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    if (!judged.walls.front()[wall]) continue;
    const PairedOdds& p = judged.walls.front()[wall]->odds;
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

/// Second minus first.
Chart difference_chart(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  const WhyMeasure& measure = odds.measures.front();
  Chart chart = empty_chart(odds, fmt::format("How sure: {} minus {}", odds.second, odds.first),
                            "difference, median and 5 to 95 % of draws");
  ChartBand bands{"", 0, ChartBand::Shape::lying_whiskers, {}};
  ChartSeries medians{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    if (!judged.walls.front()[wall]) continue;
    const PairedOdds& p = judged.walls.front()[wall]->odds;
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

std::vector<Chart> odds_charts(const JudgedOdds& judged) {
  if (judged.odds.done() == 0) return {};
  return {share_chart(judged), difference_chart(judged)};
}

}  // namespace setstress
