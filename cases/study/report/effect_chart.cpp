// What one factor does to an output, with the chance of the others taken out: a line for each plan where
// there are plans, one line and the spread of runs where there are none.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/study/report/report_charts.hpp"
#include "cases/study/report/report_notes.hpp"
#include "cases/study/statistics/adjusted.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_effect_ranges = 8, runs_a_range = 5, most_lines = 5;

/// Means at levels as they are drawn.
struct Curve {
  std::vector<Level> levels;
  std::vector<double> means;  ///< NaN without a run
  std::vector<Effect> effects;
  bool is_adjusted = false;
};

bool has_chance(const ResultTable& table, const std::vector<double>& values) {
  return table.design != Design::grid || with_value(values) < static_cast<int>(values.size()) ||
         table.dropped > 0;
}

Curve curve_of(std::vector<Level> levels, std::size_t f, const std::vector<FactorColumn>& factors,
               const std::vector<double>& values, bool adjust) {
  Curve curve{std::move(levels), {}, {}, false};
  curve.effects = main_effect(curve.levels, values);
  for (const Effect& effect : curve.effects) curve.means.push_back(effect.mean);
  if (!adjust) return curve;
  if (auto means = adjusted_means(curve.levels, f, factors, values)) {
    curve.means = std::move(*means);
    curve.is_adjusted = true;
  }
  return curve;
}

/// Every value of a factor of few; of one of many, ranges with runs enough in each, over `lines` lines.
std::vector<Level> levels_for(const FactorColumn& factor, const std::vector<double>& values,
                              std::size_t lines) {
  const std::vector<Level> single = levels_of(factor, most_effect_ranges);
  if (std::ranges::none_of(single, &Level::is_range)) return single;
  const auto runs = static_cast<std::size_t>(with_value(values));
  return levels_of(factor, std::clamp<std::size_t>(runs / (runs_a_range * lines), 2, most_effect_ranges));
}

/// The words by which lines are told apart: plans before other words; the number of factors where there are
/// none.
std::size_t factor_of_lines(const ResultTable& table, std::size_t f,
                            const std::vector<FactorColumn>& factors) {
  const auto fits = [&](std::size_t g) {
    if (g == f || factors[g].is_number()) return false;
    const std::size_t levels = levels_of(factors[g]).size();
    return levels >= 2 && levels <= most_lines;
  };
  std::size_t found = factors.size();
  for (std::size_t g = factors.size(); g-- > 0;)
    if (fits(g) &&
        (found == factors.size() || table.factors[g].keys.empty() || !table.factors[found].keys.empty()))
      found = g;
  return found;
}

std::vector<ChartPoint> points_of(const Curve& curve) {
  std::vector<ChartPoint> points;
  for (std::size_t l = 0; l < curve.levels.size(); ++l) {
    if (std::isnan(curve.means[l])) continue;
    const Effect& effect = curve.effects[l];
    std::string says = fmt::format("{}: mean {:.4g}", curve.levels[l].name, curve.means[l]);
    if (curve.is_adjusted) says += fmt::format(" adjusted, {:.4g} as it is", effect.mean);
    says += fmt::format(", median {:.4g}, {} runs, {} without a value", effect.median, effect.count,
                        effect.missing);
    points.push_back({curve.levels[l].at, curve.means[l], says});
  }
  return points;
}

void say_how(Chart& chart, const std::vector<Curve>& curves, bool adjust) {
  if (std::ranges::any_of(
          curves, [](const Curve& curve) { return !curve.levels.empty() && curve.levels.front().is_range; }))
    chart.notes.emplace_back("Values in ranges of as many runs each.");
  if (!adjust) return;
  const bool all = std::ranges::all_of(curves, &Curve::is_adjusted);
  chart.notes.emplace_back(all ? "Adjusted means: what the other factors happened to be at each value is "
                                 "taken out by least squares."
                               : "Plain means where runs are too few to take out what the other factors "
                                 "happened to be: ups and downs may "
                                 "be theirs.");
}

void add_spread(Chart& chart, const Curve& curve, bool is_number) {
  ChartBand spread{
      "10 to 90 % of runs", 0, is_number ? ChartBand::Shape::shaded : ChartBand::Shape::upright_whiskers, {}};
  ChartSeries ends{"lowest, highest", 5, ChartSeries::Shape::dots, {}};
  for (const Effect& effect : curve.effects) {
    if (effect.count == 0) continue;
    const double at = curve.levels[effect.level].at;
    spread.intervals.push_back({at, effect.tenth, effect.ninetieth});
    ends.points.push_back({at, effect.smallest, fmt::format("lowest {:.4g}", effect.smallest)});
    ends.points.push_back({at, effect.largest, fmt::format("highest {:.4g}", effect.largest)});
  }
  chart.bands.push_back(std::move(spread));
  chart.series.push_back(std::move(ends));
}

}  // namespace

Chart effect_chart(const ResultTable& table, std::size_t output, std::size_t f,
                   const std::vector<FactorColumn>& factors, const std::vector<double>& values) {
  const FactorColumn& factor = factors[f];
  const OutputColumnInfo& column = table.outputs[output];
  const std::size_t by = factor_of_lines(table, f, factors);
  const bool adjust = has_chance(table, values), has_lines = by < factors.size();
  std::vector<std::size_t> shown{f};
  if (has_lines) shown.push_back(by);
  Chart chart{fmt::format("{} by {}", label_of(column), factor.name),
              {count_note(table, with_value(values)), fixed_note(table, shown, false)},
              {factor.name, {}},
              {axis_of(column)}};
  const auto shape = factor.is_number() ? ChartSeries::Shape::line_and_dots : ChartSeries::Shape::dots;
  std::vector<Curve> curves;
  if (!has_lines) {
    curves.push_back(curve_of(levels_for(factor, values, 1), f, factors, values, adjust));
    add_spread(chart, curves.back(), factor.is_number());
    chart.series.push_back(
        {curves.back().is_adjusted ? "adjusted mean" : "mean", 0, shape, points_of(curves.back())});
  } else {
    const std::vector<Level> lines = levels_of(factors[by]);
    const std::vector<Level> levels = levels_for(factor, values, lines.size());
    for (std::size_t line = 0; line < lines.size(); ++line) {
      std::vector<double> of_line(values.size(), NAN);
      for (const std::size_t run : lines[line].runs) of_line[run] = values[run];
      curves.push_back(curve_of(levels, f, factors, of_line, adjust));
      if (auto points = points_of(curves.back()); !points.empty())
        chart.series.push_back({lines[line].name, static_cast<int>(line), shape, std::move(points)});
    }
  }
  if (!factor.is_number())
    for (const Level& level : curves.front().levels) chart.x.words.push_back(level.name);
  if (has_lines)
    chart.notes.insert(chart.notes.begin(), fmt::format("Means, a line for each {}.", factors[by].name));
  say_how(chart, curves, adjust);
  return chart;
}

}  // namespace setstress
