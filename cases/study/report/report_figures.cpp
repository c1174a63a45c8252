#include "cases/study/report/report_figures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "cases/study/report/report_charts.hpp"
#include "cases/study/report/report_data.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_maps = 6;

bool varies(const std::vector<double>& values) {
  double low = INFINITY, high = -INFINITY;
  for (const double value : values)
    if (!std::isnan(value)) low = std::min(low, value), high = std::max(high, value);
  return high > low;
}

void add_maps(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors,
              const std::vector<double>& values, OutputFigures& out) {
  std::size_t made = 0;
  const std::vector<std::size_t> shown = varied(factors);
  for (std::size_t a = 0; a < shown.size(); ++a)
    for (std::size_t b = a + 1; b < shown.size(); ++b) {
      if (made++ >= most_maps) continue;
      const std::size_t i = shown[a], j = shown[b];
      out.figures.push_back(
          {fmt::format("{}-map-{}-{}", out.name, table.factors[i].name, table.factors[j].name),
           map_chart(table, output, i, j, factors, values)});
    }
  if (made > most_maps)
    out.remarks.push_back(
        fmt::format("Maps of the first {} of {} pairs of factors are shown.", most_maps, made));
}

void add_shares_of_variance(const ResultTable& table, std::size_t output,
                            const std::vector<FactorColumn>& factors, OutputFigures& out) {
  if (table.design != Design::sobol_indices) {
    out.remarks.push_back(
        fmt::format("Sobol indices cannot be computed from a design of kind {}; say design = "
                    "\"sobol-indices\" in the study file.",
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
  OutputFigures out{table.outputs.at(output).name, table.outputs[output].path, {}, {}};
  const std::vector<FactorColumn> factors = factor_columns(table);
  const std::vector<double> values = output_column(table, output);
  if (with_value(values) == 0) {
    out.remarks.emplace_back("No run has a value yet.");
    return out;
  }
  if (!varies(values)) out.remarks.emplace_back("All runs give the same value.");
  const std::size_t chair = chair_time_output(table);
  if (chair < table.outputs.size() && chair != output)
    out.figures.push_back({out.name + "-pareto", pareto_chart(table, output, chair, values)});
  if (chair == table.outputs.size())
    out.remarks.emplace_back("The front against chair time needs an output chair_time_s = \"chair_time_s\".");
  if (table.design != Design::one_at_a_time) {
    for (const std::size_t f : varied(factors))
      out.figures.push_back({fmt::format("{}-by-{}", out.name, table.factors[f].name),
                             effect_chart(table, output, f, factors[f], values)});
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
