#pragma once
// The plots of a study. Each says how many runs it stands on, what failed and what was held fixed.

#include <optional>
#include <string>
#include <vector>

#include "cases/study/report/ranking.hpp"
#include "cases/study/table/result_table.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

struct Figure {
  std::string file;  ///< name without ending
  Chart chart;
};

/// The plots of one output, and sentences on those that this design cannot give.
struct OutputFigures {
  std::string name, path;
  std::size_t output;  ///< position in the table
  std::vector<Figure> figures;
  std::vector<std::string> remarks;
  std::optional<Ranking> ranking = {};  ///< of the factors
  std::vector<std::string> pairs = {};  ///< how often one plan is the better, in words
};

/// What decides, differences of plans under the same draws and how often one is the better, main effects,
/// maps of the two factors that do most together, tornado, Sobol indices with confidence intervals, curve of
/// runs above a value, and the Pareto front against chair time, as far as the design supports them.
OutputFigures figures_of(const ResultTable& table, std::size_t output);

}  // namespace setstress
