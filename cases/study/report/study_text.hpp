#pragma once
// A study in words: what it will do, what it did, and what failed.

#include <string>

#include "cases/study/design/run_order.hpp"
#include "cases/study/design/study_plan.hpp"
#include "cases/study/runs/study_runner.hpp"
#include "cases/study/table/result_table.hpp"

namespace setstress {

/// How many runs, and which combinations were left out by which rule.
std::string plan_text(const Study& study, const StudyPlan& plan);

/// How many meshes and solutions the runs of `order` need, and how long they take on one core, where one that
/// is solved takes `seconds`.
std::string work_text(const RunOrder& order, double seconds);

/// Which runs are those of an earlier state of the study, and which outputs were read off their summaries.
std::string taken_over_text(const StudyDatabase::TakenOver& taken);

/// What was made now, and how fast.
std::string tally_text(const RunTally& tally);

/// How many runs that are done are on meshes too coarse for percentiles, and what that means; "" for none.
std::string coarse_runs_text(const ResultTable& table);

/// For each output lowest, mean and highest of the runs that are done, unit and label; a line each.
std::string outputs_text(const ResultTable& table);

/// Runs by status, and every one that failed or was refused with its message; equal messages once.
std::string results_text(const ResultTable& table);

}  // namespace setstress
