#pragma once
// Makes the runs of a study on one machine, as many side by side as cores and memory allow.

#include <functional>
#include <string>
#include <vector>

#include "cases/study/design/study_plan.hpp"
#include "cases/study/runs/lanes.hpp"
#include "cases/study/runs/mesh_cache.hpp"
#include "cases/study/table/study_database.hpp"

namespace setstress {

/// Runs that a class needs for lanes to pay, see README.md.
inline constexpr std::size_t fewest_in_lanes = 32;

struct RunOptions {
  int jobs = 0;        ///< runs side by side at most; 0: as many as cores
  bool quiet = false;  ///< no progress
  Lanes lanes = {};    ///< of those that one core advances together
};

/// What was done, and what one needs to know to foretell the rest.
struct RunTally {
  int done = 0, failed = 0, refused = 0;  ///< of the runs made now
  int left = 0;                           ///< not made: stopped
  double wall_seconds = 0;                ///< [s] by the clock
  double run_seconds = 0;                 ///< [s] of all runs made, summed
  double largest_memory_mb = 0;           ///< of one run [MB]
  int side_by_side = 1;                   ///< runs at the same time, at most
};

/// Kept for every run as it ends, before the next is started. What it throws ends the study.
using KeepRecord = std::function<void(int row, const RunRecord& record)>;

/// Those of `rows`, not empty, to make first where one wants to know what the others take: one run, or the
/// few that advance with it.
std::vector<int> pilot_rows(const Study& study, const StudyPlan& plan, const std::vector<int>& rows,
                            int lanes);

/// Makes the runs `rows` (numbers) of `plan`; those that `setstress check` would refuse are recorded as such.
/// The first run, or small group of runs, is made alone: its memory says how many fit side by side. Stops,
/// leaving the rest, when `asked_to_stop` says so. Throws what `keep` throws.
RunTally make_runs(const Study& study, const StudyPlan& plan, const std::vector<int>& rows,
                   const MeshCache& meshes, const RunOptions& options, const KeepRecord& keep,
                   const std::function<bool()>& asked_to_stop);

}  // namespace setstress
