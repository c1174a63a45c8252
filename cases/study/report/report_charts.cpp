#include "cases/study/report/report_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/study/report/report_notes.hpp"
#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

std::vector<std::string> names_of(const std::vector<Level>& levels) {
  std::vector<std::string> names;
  for (const Level& level : levels) names.push_back(level.name);
  return names;
}

std::string unit_words(const OutputColumnInfo& output) {
  return output.words.unit.empty() || output.words.unit == "-" ? "no unit" : output.words.unit;
}

/// Values of the runs that two levels share.
std::vector<double> shared_values(const Level& a, const Level& b, const std::vector<double>& values) {
  std::vector<double> shared;
  for (const std::size_t run : a.runs)
    if (std::find(b.runs.begin(), b.runs.end(), run) != b.runs.end() && !std::isnan(values[run]))
      shared.push_back(values[run]);
  return shared;
}

}  // namespace

Chart map_chart(const ResultTable& table, std::size_t output, std::size_t across, std::size_t down,
                const std::vector<FactorColumn>& factors, const std::vector<double>& values) {
  const std::vector<Level> columns = levels_of(factors[across], most_map_ranges);
  const std::vector<Level> rows = levels_of(factors[down], most_map_ranges);
  const std::string name = label_of(table.outputs[output]);
  Chart chart{fmt::format("{}: {} and {}", name, factors[across].name, factors[down].name),
              {"Mean over everything else in each cell, in " + unit_words(table.outputs[output]) +
                   ", darker is higher. " + count_note(table, with_value(values)),
               fixed_note(table, {across, down}, false)},
              {factors[across].name, names_of(columns)},
              {factors[down].name, names_of(rows)}};
  double low = INFINITY, high = -INFINITY;
  for (std::size_t i = 0; i < columns.size(); ++i)
    for (std::size_t j = 0; j < rows.size(); ++j) {
      const std::vector<double> cell = shared_values(columns[i], rows[j], values);
      double mean = 0;
      for (const double value : cell) mean += value / static_cast<double>(cell.size());
      const auto x = static_cast<double>(i), y = static_cast<double>(j);
      if (cell.empty())
        chart.cells.push_back({x - 0.5, x + 0.5, y - 0.5, y + 0.5, NAN, "none", "no run with a value"});
      else
        chart.cells.push_back(
            {x - 0.5, x + 0.5, y - 0.5, y + 0.5, mean,
             std::abs(mean) >= 1000 ? fmt::format("{:.0f}", mean) : fmt::format("{:.3g}", mean),
             fmt::format("{}, {}: mean {:.4g} of {} runs", columns[i].name, rows[j].name, mean,
                         cell.size())});
      if (!cell.empty()) low = std::min(low, mean), high = std::max(high, mean);
    }
  for (ChartCell& cell : chart.cells)
    cell.share = high > low ? (cell.share - low) / (high - low) : cell.share * 0 + 0.2;
  return chart;
}

Chart tornado_chart(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors,
                    const std::vector<double>& values, std::size_t base) {
  const std::vector<Reach> reaches = tornado(factors, values, base);
  const std::string name = label_of(table.outputs[output]);
  int used = 1;
  for (const Reach& reach : reaches) used += reach.runs;
  Chart chart{fmt::format("{}: one factor at a time (tornado)", name),
              {count_note(table, used), fixed_note(table, {}, true)},
              {axis_of(table.outputs[output])},
              {"", {}}};
  double row = 0;
  for (const Reach& reach : reaches) {
    const FactorColumn& factor = factors[reach.factor];
    const auto at = [&](std::size_t run) {
      return factor.is_number() ? fmt::format("{:.6g}", factor.numbers[run]) : factor.words[run];
    };
    chart.y.words.push_back(factor.name);
    chart.bars.push_back({row++, reach.lowest, reach.highest, 0,
                          fmt::format("{}: {:.4g} at {}, {:.4g} at {}", factor.name, reach.lowest,
                                      at(reach.lowest_run), reach.highest, at(reach.highest_run))});
  }
  chart.rules.push_back({values[base], true, "nominal"});
  return chart;
}

Chart index_chart(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors) {
  const SobolIndices indices = sobol_indices(index_sample(table, output));
  const std::string name = label_of(table.outputs[output]);
  Chart chart{
      fmt::format("{}: Sobol indices", name),
      {fmt::format(
           "n = {} base points, each {} runs; {} base points left out because a run of theirs failed, "
           "was refused or is not made. Bars: 95 % confidence (bootstrap).",
           indices.base_points, factors.size() + 2, indices.dropped),
       fixed_note(table, {}, false)},
      {"share of the variance [-]"},
      {"", {}}};
  ChartSeries first{"alone (first order)", 0, ChartSeries::Shape::dots, {}};
  ChartSeries total{"with interactions (total)", 1, ChartSeries::Shape::dots, {}};
  ChartBand first_spread{"", 0, ChartBand::Shape::lying_whiskers, {}},
      total_spread{"", 1, ChartBand::Shape::lying_whiskers, {}};
  for (const std::size_t f : varied(factors)) {
    const auto row = static_cast<double>(chart.y.words.size());
    const auto put = [&](const Estimate& e, double at, ChartSeries& series, ChartBand& band,
                         const char* kind) {
      series.points.push_back(
          {e.value, at,
           fmt::format("{}, {}: {:.3f} ({:.3f} to {:.3f})", factors[f].name, kind, e.value, e.low, e.high)});
      band.intervals.push_back({at, e.low, e.high});
    };
    put(indices.first[f], row - 0.15, first, first_spread, "alone");
    put(indices.total[f], row + 0.15, total, total_spread, "total");
    chart.y.words.push_back(factors[f].name);
  }
  chart.bands = {first_spread, total_spread};
  chart.series = {first, total};
  chart.rules.push_back({0, true, ""});
  return chart;
}

Chart curve_chart(const ResultTable& table, std::size_t output) {
  std::vector<double> values = drawn_outputs(table, output);
  std::erase_if(values, [](double value) { return std::isnan(value); });
  const std::string name = label_of(table.outputs[output]);
  const bool random = is_random(table.design);
  Chart chart{
      fmt::format("{}: {}", name, random ? "probability of more than" : "share of runs with more than"),
      {count_note(table, static_cast<int>(values.size())), fixed_note(table, {}, false)},
      {axis_of(table.outputs[output])},
      {random ? "probability [-]" : "share of runs [-]"}};
  if (random)
    chart.notes.emplace_back(
        "Given the distributions of the factors. Band: 95 % for the whole curve, as for independent draws.");
  else
    chart.notes.emplace_back("The values were chosen, not drawn: a share of these runs, not a probability.");
  ChartSeries share{"", 0, ChartSeries::Shape::steps, {}};
  ChartBand band{random ? "95 %" : "", 0, ChartBand::Shape::steps, {}};
  const std::vector<ExceedancePoint> curve = exceedance_curve(values);
  share.points.push_back({curve.front().value, 1.0});
  for (const ExceedancePoint& point : curve) {
    share.points.push_back({point.value, point.share});
    band.intervals.push_back({point.value, point.low, point.high});
  }
  if (random) chart.bands.push_back(band);
  chart.series.push_back(share);
  chart.y.low = 0;
  chart.y.high = 1;
  return chart;
}

Chart pareto_chart(const ResultTable& table, std::size_t output, std::size_t chair_time,
                   const std::vector<double>& values) {
  const std::vector<double> minutes = [&] {
    std::vector<double> seconds = output_column(table, chair_time);
    for (double& each : seconds) each /= 60;
    return seconds;
  }();
  const std::string name = label_of(table.outputs[output]);
  const bool higher = table.outputs[output].words.better == Better::higher;
  Chart chart{
      fmt::format("{} against chair time", name),
      {count_note(table, with_value(values)) +
           fmt::format(" On the line: runs that no other run beats in both, {} values being the better.",
                       higher ? "higher" : "lower"),
       fixed_note(table, {}, false)},
      {"chair time [min]"},
      {axis_of(table.outputs[output])}};
  const auto says = [&](std::size_t r) {
    std::string inputs;
    for (std::size_t f = 0; f < table.factors.size(); ++f)
      inputs +=
          fmt::format("{}{} {}", f > 0 ? ", " : "", table.factors[f].name, text_of(table.rows[r].inputs[f]));
    return fmt::format("run {}: {}; {:.4g} at {:.4g} min", table.rows[r].number, inputs, values[r],
                       minutes[r]);
  };
  ChartSeries all{"runs", 5, ChartSeries::Shape::dots, {}},
      front{"best (Pareto front)", 1, ChartSeries::Shape::line_and_dots, {}};
  for (std::size_t r = 0; r < values.size(); ++r)
    if (!std::isnan(values[r]) && !std::isnan(minutes[r]))
      all.points.push_back({minutes[r], values[r], says(r)});
  std::vector<double> costs = values;  // the lower the better
  if (higher)
    for (double& each : costs) each = -each;
  for (const std::size_t r : pareto_front(minutes, costs))
    front.points.push_back({minutes[r], values[r], says(r)});
  chart.series = {all, front};
  return chart;
}

}  // namespace setstress
