#pragma once
// Which runs of a study may advance together (solver/group), as far as can be seen without reading their
// cases.

#include <map>
#include <vector>

#include "cases/study/design/study_plan.hpp"

namespace setstress {

/// Depends on the plan alone, not on what was made of it: so the same run leads whoever is left.
class LaneClasses {
 public:
  LaneClasses() = default;
  /// Runs whose bond holds, on one mesh, none with the solution of another, that differ in numbers of bond,
  /// plan and composites; at least `fewest` of them. `plan` must outlive this.
  LaneClasses(const Study& study, const StudyPlan& plan, std::size_t fewest);

  /// Of a row, by number: those in its class, itself included, in the order of the plan; empty: none.
  [[nodiscard]] const std::vector<const StudyRow*>& with(int row) const;

 private:
  std::vector<std::vector<const StudyRow*>> classes_;
  std::map<int, std::size_t> class_of_;  ///< by row
};

}  // namespace setstress
