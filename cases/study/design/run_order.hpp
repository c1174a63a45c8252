#pragma once
// The order in which runs are made: like follows like, so that meshes and solutions are shared.

#include <string>
#include <vector>

#include "cases/study/design/study_plan.hpp"

namespace setstress {

/// Work of a run whose solution is there, as a share of one that is solved [-]: measured on coarse boxes.
inline constexpr double work_of_judging = 0.15;

struct OrderedRun {
  const StudyRow* row;
  int mesh, solution;  ///< equal numbers: may be shared
  double work;         ///< 1: solved; less: the solution of the run before serves [-]
  int together = 1;    ///< runs that are made in one group with it, once it is made
};

struct RunOrder {
  std::vector<OrderedRun> runs;
  int meshes = 0, solutions = 0;  ///< how many different ones
  double work = 0;                ///< of all [-]
  /// Rows to which a factor does not fit, and why.
  std::vector<std::pair<int, std::string>> refused;
};

/// Of the rows `numbers` of `plan`, which must outlive the result.
RunOrder order_of(const Study& study, const StudyPlan& plan, const std::vector<int>& numbers);

}  // namespace setstress
