#pragma once
// A study that was changed after runs of it were made: whether they can stay.

#include <filesystem>
#include <utility>
#include <vector>

#include "cases/study/design/study_plan.hpp"
#include "cases/study/table/result_table.hpp"

namespace setstress {

/// Row before and row now of every run that was made.
using Extension = std::vector<std::pair<int, int>>;

/// Finds the runs made of an earlier state of `study`, as in `before` from `file`, among those of `plan` by
/// what their cases say. Refused runs are left behind: they are cheap to refuse again; so are failed ones
/// where none is done, as another output may be the cure. Throws CaseError,
/// naming the factor and what to do, where the outputs are others or a run is none of the study's any more.
Extension extension_of(const ResultTable& before, const std::filesystem::path& file, const Study& study,
                       const StudyPlan& plan);

}  // namespace setstress
