#pragma once
// The results of a study by column, as statistics and plots want them.

#include <limits>
#include <string>
#include <vector>

#include "cases/study/statistics/effects.hpp"
#include "cases/study/statistics/sensitivity.hpp"
#include "cases/study/table/result_table.hpp"

namespace setstress {

/// Runs by what came of them.
struct RunCounts {
  int done = 0, failed = 0, refused = 0, planned = 0;
  [[nodiscard]] int all() const { return done + failed + refused + planned; }
};
RunCounts counts_of(const ResultTable& table);

/// One column a factor, by row of the table: numbers where all of its values are, words otherwise.
std::vector<FactorColumn> factor_columns(const ResultTable& table);

/// Positions of the factors that take more than one value.
std::vector<std::size_t> varied(const std::vector<FactorColumn>& factors);

/// Output `output` by row; NaN where the run has none.
std::vector<double> output_column(const ResultTable& table, std::size_t output);

/// The same without the rows that a design for Sobol indices mixes from others (blocks 2 and on), so that
/// what is left are independent draws of all factors; other designs are left as they are.
std::vector<double> drawn_outputs(const ResultTable& table, std::size_t output);

/// The draw of each run, where several have one; empty where every run has its own.
std::vector<int> draws_of(const ResultTable& table);

/// How many of these are values, not NaN.
int with_value(const std::vector<double>& values);

/// Position of the row in which every factor is at its nominal value; the number of rows where there is none
/// that is done.
std::size_t nominal_row(const ResultTable& table);

/// The samples A, B and AB_i of an output. Throws std::invalid_argument for other designs than sobol-indices.
IndexSample index_sample(const ResultTable& table, std::size_t output);

/// Position of the output that is the chair time; the number of outputs where there is none.
std::size_t chair_time_output(const ResultTable& table);

/// Whether the runs are draws from distributions, so that shares of runs stand for probabilities.
bool is_random(Design design);

}  // namespace setstress
