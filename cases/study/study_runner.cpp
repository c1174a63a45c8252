#include "cases/study/study_runner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <deque>
#include <map>
#include <set>
#include <thread>

#include "cases/progress.hpp"
#include "cases/study/run_pool.hpp"
#include "cases/study/study_run.hpp"

namespace setstress {

namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t longest_batch = 16;  // runs that one process makes on one mesh
constexpr double patience = 0.2;           // [s] between two looks at what the user wants
constexpr double memory_in_reserve = 1.2;  // times the largest run so far

struct PlannedRun {
  const StudyRow* row;
  std::string mesh;
};

/// A study on its way.
class Session {
 public:
  Session(const Study& study, const MeshCache& meshes, const RunOptions& options, const KeepRecord& keep)
      : study_(study),
        meshes_(meshes),
        keep_(keep),
        cores_(options.jobs),
        progress_(study.name, options.quiet) {
    if (cores_ == 0) cores_ = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  }

  /// Learns which runs share a mesh, and refuses those to which a factor does not fit.
  void plan(const StudyPlan& plan, const std::vector<int>& rows) {
    for (const int number : rows) {
      const StudyRow& row = plan.rows.at(static_cast<std::size_t>(number - 1));
      try {
        left_.push_back({&row, mesh_hint(study_, row)});
      } catch (const CaseError& error) {
        RunRecord refused;
        refused.status = RunStatus::refused;
        refused.message = error.what();
        keep_(number, refused);
        ++tally_.refused;
      }
    }
    all_ = left_.size();
  }

  RunTally run(const std::function<bool()>& asked_to_stop) {
    const Clock::time_point start = Clock::now();
    while (!asked_to_stop() && (!left_.empty() || pool_.rows_in_hand() > 0)) {
      fill();
      if (const auto finished = pool_.wait(patience)) count(*finished);
      show();
    }
    tally_.left = static_cast<int>(left_.size() + pool_.rows_in_hand());
    tally_.wall_seconds = std::chrono::duration<double>(Clock::now() - start).count();
    return tally_;
  }

 private:
  /// The first run is alone, as nobody knows yet what memory it takes.
  [[nodiscard]] bool has_room() const {
    if (pool_.processes() == 0) return true;
    const bool pilot = tally_.largest_memory_mb == 0;
    return !pilot && static_cast<int>(pool_.processes()) < cores_ &&
           available_memory_mb() > memory_in_reserve * tally_.largest_memory_mb;
  }

  /// The first run left whose mesh nobody is making at this moment; the end where there is none.
  std::deque<PlannedRun>::iterator next() {
    return std::find_if(left_.begin(), left_.end(),
                        [&](const PlannedRun& run) { return !being_made_.contains(run.mesh); });
  }

  /// Takes runs of one mesh out of those left: one at first, later more, but few enough that all cores end
  /// together.
  std::vector<int> batch(const std::string& mesh) {
    const std::size_t share = left_.size() / (4 * static_cast<std::size_t>(cores_));
    const std::size_t most =
        tally_.largest_memory_mb == 0 ? 1 : std::clamp<std::size_t>(share, 1, longest_batch);
    std::vector<int> rows;
    for (auto run = left_.begin(); run != left_.end() && rows.size() < most;) {
      if (run->mesh != mesh) {
        ++run;
        continue;
      }
      rows.push_back(run->row->number);
      in_hand_.emplace(run->row->number, *run);
      run = left_.erase(run);
    }
    return rows;
  }

  void fill() {
    while (!left_.empty() && has_room()) {
      const auto chosen = next();
      if (chosen == left_.end()) return;
      const std::string mesh = chosen->mesh;
      if (!made_.contains(mesh)) being_made_.insert(mesh);
      RowRunner runner(study_, meshes_);
      pool_.start(batch(mesh), [&](int row) { return runner.run(*in_hand_.at(row).row); });
      tally_.side_by_side = std::max(tally_.side_by_side, static_cast<int>(pool_.processes()));
    }
  }

  void count(const RunPool::Finished& finished) {
    const RunRecord& record = finished.record;
    const PlannedRun run = in_hand_.at(finished.row);
    in_hand_.erase(finished.row);
    being_made_.erase(run.mesh);
    if (record.status == RunStatus::planned) {
      left_.push_front(run);
      return;
    }
    made_.insert(run.mesh);
    keep_(finished.row, record);
    ++(record.status == RunStatus::done     ? tally_.done
       : record.status == RunStatus::failed ? tally_.failed
                                            : tally_.refused);
    tally_.run_seconds += record.seconds;
    tally_.largest_memory_mb = std::max(tally_.largest_memory_mb, record.memory_mb);
    ++(record.mesh_shared ? tally_.meshes_shared : tally_.meshes_made);
    (record.mesh_shared ? tally_.mesh_seconds_shared : tally_.mesh_seconds_made) += record.mesh_seconds;
    ++ended_;
  }

  void show() {
    progress_.show(
        static_cast<double>(ended_) / static_cast<double>(std::max<std::size_t>(1, all_)),
        fmt::format("{} of {} runs{}, {} side by side", ended_, all_,
                    tally_.failed > 0 ? fmt::format(" ({} failed)", tally_.failed) : "", pool_.processes()));
  }

  const Study& study_;
  const MeshCache& meshes_;
  const KeepRecord& keep_;
  int cores_;
  ProgressLine progress_;
  std::deque<PlannedRun> left_;
  std::size_t all_ = 0, ended_ = 0;
  std::set<std::string> being_made_, made_;  ///< meshes
  std::map<int, PlannedRun> in_hand_;        ///< by row
  RunPool pool_;
  RunTally tally_;
};

}  // namespace

RunTally make_runs(const Study& study, const StudyPlan& plan, const std::vector<int>& rows,
                   const MeshCache& meshes, const RunOptions& options, const KeepRecord& keep,
                   const std::function<bool()>& asked_to_stop) {
  Session session(study, meshes, options, keep);
  session.plan(plan, rows);
  return session.run(asked_to_stop);
}

double mesh_seconds_saved(const RunTally& t) {
  if (t.meshes_made == 0 || t.meshes_shared == 0) return 0;
  return t.mesh_seconds_made / t.meshes_made * t.meshes_shared - t.mesh_seconds_shared;
}

}  // namespace setstress
