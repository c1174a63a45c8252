#pragma once
// Private to cases/study/report: which factors decide an output, from whatever design the study has.

#include <optional>
#include <string>
#include <vector>

#include "cases/study/report/report_data.hpp"
#include "cases/study/statistics/given_data.hpp"
#include "cases/study/statistics/paired.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

struct RankedFactor {
  std::string label;
  VarianceShare share;
  std::optional<RankCorrelation> rank;  ///< of a number, where there are enough runs
};

struct Ranking {
  std::vector<RankedFactor> factors;  ///< the largest share first
  bool is_exact = false;              ///< of a whole grid: shares without chance
  bool has_gaps = false;              ///< combinations are missing: factors go together
  std::string basis;                  ///< "40 draws, each with 3 values of plan"
};

/// Empty where the design gives other numbers (Sobol indices, a tornado), and where there are too few runs.
std::optional<Ranking> ranking_of(const ResultTable& table, const std::vector<double>& values);

/// The same of a difference by draw; `inputs` by factor, then draw.
std::optional<Ranking> ranking_of_difference(const std::vector<FactorColumn>& inputs,
                                             const std::vector<double>& differences);

/// Shares with their intervals, largest first; `notes` come below.
Chart ranking_chart(const std::string& of, const Ranking& ranking, const std::vector<std::string>& notes);

/// Rows of an HTML table.
std::string ranking_table(const Ranking& ranking);

/// "volumetric shrinkage 62 % (51 to 70), the more the higher; plan 20 % (9 to 31)": the three largest.
std::string ranking_sentence(const Ranking& ranking);

}  // namespace setstress
