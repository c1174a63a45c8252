#pragma once
// A study that was changed after runs of it were made: whether they can stay.

#include <filesystem>
#include <utility>
#include <vector>

#include "cases/study/design/study_plan.hpp"
#include "cases/study/table/result_table.hpp"

namespace setstress {

/// Runs and outputs of an earlier state of a study in the one it has now.
struct Extension {
  std::vector<std::pair<int, int>> rows;  ///< before and now, of every run that was made
  std::vector<std::pair<std::string, std::string>>
      kept;                                 ///< columns before and now, of outputs kept as they are
  std::vector<std::string> from_summaries;  ///< outputs now that were not kept
};

/// Finds the runs made of an earlier state of `study`, as in `before` from `file`, among those of `plan` by
/// what their cases say. Refused runs are left behind: they are cheap to refuse again; so are failed ones
/// of which nothing is kept where none is done. Throws CaseError, naming the factor and what to do, where a
/// run is none of the study's any more, or has no summary kept of it to take another output from.
Extension extension_of(const ResultTable& before, const std::filesystem::path& file, const Study& study,
                       const StudyPlan& plan);

}  // namespace setstress
