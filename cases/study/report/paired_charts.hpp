#pragma once
// Private to cases/study/report: plans under the same draws, or on the same grid of everything else: how they
// differ, and how often one is the better.

#include <optional>
#include <string>
#include <vector>

#include "cases/study/report/report_data.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// Runs that differ in one factor alone.
struct PairedRuns {
  std::size_t factor;                          ///< position
  std::vector<std::string> plans;              ///< its values
  std::vector<std::vector<std::size_t>> runs;  ///< by draw, then plan: position in the table
  bool are_draws;                              ///< random: shares stand for probabilities
};

/// Of the factor that the draws are crossed with; in a grid of the first one of two to six alternatives.
/// Empty where there is none.
std::optional<PairedRuns> paired_runs(const ResultTable& table);

/// Two plans, by position.
struct PlanPair {
  std::size_t first, second;
};
/// All of up to four plans; of more, each with the first.
std::vector<PlanPair> pairs_of(const PairedRuns& paired);

/// "layers minus bulk"
std::string difference_name(const PairedRuns& paired, const PlanPair& pair);

/// Second minus first by draw, NaN where one has no value.
std::vector<double> differences_of(const PairedRuns& paired, const PlanPair& pair,
                                   const std::vector<double>& values);

/// A factor by draw: all runs of one have the same value.
FactorColumn by_draw(const FactorColumn& factor, const PairedRuns& paired);

/// Every difference, its median, and 5 to 95 % of draws, a row a pair. Throws std::invalid_argument where no
/// pair has two values.
Chart difference_chart(const ResultTable& table, std::size_t output, const PairedRuns& paired,
                       const std::vector<double>& values);

/// Share of draws in which the second is the better, with its 95 % interval, a row a pair. Throws the same.
Chart better_chart(const ResultTable& table, std::size_t output, const PairedRuns& paired,
                   const std::vector<double>& values);

/// "layers is lower than bulk in 31 of 40 draws, 78 % (62 to 89)", a sentence a pair.
std::vector<std::string> paired_sentences(const ResultTable& table, std::size_t output,
                                          const PairedRuns& paired, const std::vector<double>& values);

}  // namespace setstress
