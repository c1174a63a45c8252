#pragma once
// Private to cases/study/report: the charts of a study, a builder for each kind. Whether a design can give
// one is for the caller to know (report_figures). `output`, `f`, `across`, `down` are positions in the table;
// `factors` and `values` are its columns.

#include <vector>

#include "cases/study/report/report_data.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// Mean at each level of a factor, adjusted for what the others happened to be; a line for each plan, or the
/// spread over everything else.
Chart effect_chart(const ResultTable& table, std::size_t output, std::size_t f,
                   const std::vector<FactorColumn>& factors, const std::vector<double>& values);

/// Values of a factor in a map, at most.
inline constexpr std::size_t most_map_ranges = 5;

/// Mean over everything else for each pair of levels of two factors.
Chart map_chart(const ResultTable& table, std::size_t output, std::size_t across, std::size_t down,
                const std::vector<FactorColumn>& factors, const std::vector<double>& values);

/// How far each factor alone moves the output from its value in row `base`.
Chart tornado_chart(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors,
                    const std::vector<double>& values, std::size_t base);

/// Sobol indices with their confidence intervals. Throws std::invalid_argument as index_sample() and
/// sobol_indices() do.
Chart index_chart(const ResultTable& table, std::size_t output, const std::vector<FactorColumn>& factors);

/// Share of runs above each value; a probability, with its band, where the runs are random draws.
Chart curve_chart(const ResultTable& table, std::size_t output);

/// All runs against output `chair_time` [min], and those that no other beats in both.
Chart pareto_chart(const ResultTable& table, std::size_t output, std::size_t chair_time,
                   const std::vector<double>& values);

}  // namespace setstress
