#include "cases/study/report/report_figures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "cases/study/report/paired_charts.hpp"
#include "cases/study/report/report_charts.hpp"
#include "cases/study/report/report_data.hpp"
#include "cases/study/report/report_notes.hpp"
#include "cases/study/statistics/given_data.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_maps = 6;

bool varies(const std::vector<double>& values) {
  double low = INFINITY, high = -INFINITY;
  for (const double value : values)
    if (!std::isnan(value)) low = std::min(low, value), high = std::max(high, value);
  return high > low;
}

/// The pairs whose cells differ most come first; those of which that cannot be told come last.
void add_maps(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors,
              const std::vector<double>& values, OutputFigures& out) {
  struct Pair {
    double share;
    std::size_t across, down;
  };
  std::vector<Pair> pairs;
  const std::vector<std::size_t> shown = varied(factors);
  for (std::size_t a = 0; a < shown.size(); ++a)
    for (std::size_t b = a + 1; b < shown.size(); ++b) {
      const double share = share_of_pair(factors[shown[a]], factors[shown[b]], values, most_map_ranges);
      pairs.push_back({std::isnan(share) ? -INFINITY : share, shown[a], shown[b]});
    }
  std::ranges::stable_sort(pairs, std::ranges::greater{}, &Pair::share);
  for (std::size_t p = 0; p < std::min(pairs.size(), most_maps); ++p) {
    const auto& [share, i, j] = pairs[p];
    out.figures.push_back(
        {fmt::format("{}-map-{}-{}", out.name, table.factors[i].name, table.factors[j].name),
         map_chart(table, output, i, j, factors, values)});
  }
  if (pairs.size() > most_maps)
    out.remarks.push_back(
        fmt::format("Maps of {} of {} pairs of factors are shown: those with the largest share of the "
                    "variance between their cells.",
                    most_maps, pairs.size()));
}

void add_ranking(const ResultTable& table, const std::vector<double>& values, OutputFigures& out) {
  out.ranking = ranking_of(table, values);
  const std::vector<std::string> notes{count_note(table, with_value(values)), fixed_note(table, {}, false)};
  if (out.ranking)
    out.figures.push_back({out.name + "-what-decides",
                           ranking_chart(label_of(table.outputs[out.output]), *out.ranking, notes)});
  else if (table.design != Design::sobol_indices && table.design != Design::one_at_a_time && varies(values))
    out.remarks.push_back(fmt::format("What decides is told from {} runs with a value, or from a whole grid.",
                                      fewest_for_shares));
}

/// Differences of plans, how often one is the better, and what decides that.
void add_pairs(const ResultTable& table, const std::vector<FactorColumn>& factors,
               const std::vector<double>& values, OutputFigures& out) {
  constexpr std::size_t most_ranked_pairs = 3;
  const std::optional<PairedRuns> paired = paired_runs(table);
  if (!paired) return;
  try {
    out.figures.push_back({out.name + "-difference", difference_chart(table, out.output, *paired, values)});
    out.figures.push_back({out.name + "-better", better_chart(table, out.output, *paired, values)});
    out.pairs = paired_sentences(table, out.output, *paired, values);
  } catch (const std::invalid_argument& error) {
    out.remarks.push_back(fmt::format("Plans cannot be set against each other: {}.", error.what()));
    return;
  }
  if (!paired->are_draws) return;
  std::vector<FactorColumn> inputs;
  for (const std::size_t f : varied(factors))
    if (f != paired->factor) inputs.push_back(by_draw(factors[f], *paired));
  const std::vector<PlanPair> pairs = pairs_of(*paired);
  const std::vector<std::string> notes{count_note(table, with_value(values)),
                                       fixed_note(table, {paired->factor}, false)};
  for (std::size_t p = 0; p < std::min(pairs.size(), most_ranked_pairs); ++p) {
    const std::string name = difference_name(*paired, pairs[p]);
    if (const auto ranking = ranking_of_difference(inputs, differences_of(*paired, pairs[p], values)))
      out.figures.push_back(
          {fmt::format("{}-difference-{}-what-decides", out.name, p + 1),
           ranking_chart(fmt::format("{}, {}", label_of(table.outputs[out.output]), name), *ranking, notes)});
  }
}

void add_shares_of_variance(const ResultTable& table, std::size_t output,
                            const std::vector<FactorColumn>& factors, OutputFigures& out) {
  if (table.design != Design::sobol_indices) {
    out.remarks.push_back(fmt::format(
        "What factors do together is told by Sobol indices, which a design of kind {} cannot give; say "
        "design = \"sobol-indices\" in the study file.",
        name_of(table.design)));
    return;
  }
  try {
    out.figures.push_back({out.name + "-sobol-indices", index_chart(table, output, factors)});
  } catch (const std::invalid_argument& error) {
    out.remarks.push_back(fmt::format("{}.", error.what()));
  }
}

}  // namespace

OutputFigures figures_of(const ResultTable& table, std::size_t output) {
  OutputFigures out{table.outputs.at(output).name, table.outputs[output].path, output, {}, {}};
  const std::vector<FactorColumn> factors = factor_columns(table);
  const std::vector<double> values = output_column(table, output);
  if (with_value(values) == 0) {
    out.remarks.emplace_back("No run has a value yet.");
    return out;
  }
  if (!varies(values)) out.remarks.emplace_back("All runs give the same value.");
  add_ranking(table, values, out);
  add_pairs(table, factors, values, out);
  const std::size_t chair = chair_time_output(table);
  if (chair < table.outputs.size() && chair != output)
    out.figures.push_back({out.name + "-pareto", pareto_chart(table, output, chair, values)});
  if (chair == table.outputs.size())
    out.remarks.emplace_back("The front against chair time needs an output chair_time_s = \"chair_time_s\".");
  if (table.design != Design::one_at_a_time) {
    for (const std::size_t f : varied(factors))
      out.figures.push_back({fmt::format("{}-by-{}", out.name, table.factors[f].name),
                             effect_chart(table, output, f, factors, values)});
    add_maps(table, output, factors, values, out);
  }
  const std::size_t base = nominal_row(table);
  if (base < table.rows.size() && !std::isnan(values[base]) && !tornado(factors, values, base).empty())
    out.figures.push_back({out.name + "-tornado", tornado_chart(table, output, factors, values, base)});
  else
    out.remarks.emplace_back(
        "A tornado needs a run with every factor at its nominal value and runs one factor away from it: "
        "design = "
        "\"one-at-a-time\", or a grid that holds the nominal values.");
  add_shares_of_variance(table, output, factors, out);
  if (table.design != Design::one_at_a_time)
    out.figures.push_back(
        {out.name + (is_random(table.design) ? "-probability" : "-share-above"), curve_chart(table, output)});
  return out;
}

}  // namespace setstress
