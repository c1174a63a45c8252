#include "cases/study/runs/study_runner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <deque>
#include <map>
#include <set>
#include <thread>

#include "cases/run/progress.hpp"
#include "cases/study/design/run_order.hpp"
#include "cases/study/runs/run_pool.hpp"
#include "cases/study/runs/study_run.hpp"

namespace setstress {

namespace {

using Clock = std::chrono::steady_clock;

constexpr double longest_batch = 16;       // runs solved that one process makes on one mesh
constexpr double worth_a_solution = 4;     // runs' work that one process may do on one solution, at least
constexpr double patience = 0.2;           // [s] between two looks at what the user wants
constexpr double memory_in_reserve = 1.2;  // times the largest run so far

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

  /// Learns which runs share what, and refuses those to which a factor does not fit.
  void plan(const StudyPlan& plan, const std::vector<int>& rows) {
    const RunOrder order = order_of(study_, plan, rows);
    left_.assign(order.runs.begin(), order.runs.end());
    for (const auto& [number, why] : order.refused) {
      RunRecord refused;
      refused.status = RunStatus::refused;
      refused.message = why;
      keep_(number, refused);
      ++tally_.refused;
    }
    all_ = left_.size();
    work_left_ = work_ = order.work;
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
  std::deque<OrderedRun>::iterator next() {
    return std::find_if(left_.begin(), left_.end(),
                        [&](const OrderedRun& run) { return !being_made_.contains(run.mesh); });
  }

  /// Takes runs of one mesh out of those left: one solution at first, later more, but so little work that all
  /// cores end together.
  std::vector<OrderedRun> batch(int mesh) {
    const double share = work_left_ / (4 * cores_);
    const double most = tally_.largest_memory_mb == 0 ? 1 : std::clamp(share, 1.0, longest_batch);
    std::vector<OrderedRun> runs;
    double work = 0;
    for (auto run = left_.begin(); run != left_.end();) {
      if (run->mesh != mesh) {
        ++run;
        continue;
      }
      const bool same = !runs.empty() && runs.back().solution == run->solution;
      work += same ? work_of_judging : 1;
      if (!runs.empty() && work > (same ? std::max(most, worth_a_solution) : most)) break;
      runs.push_back(*run);
      in_hand_.emplace(run->row->number, *run);
      work_left_ -= run->work;
      run = left_.erase(run);
    }
    return runs;
  }

  void fill() {
    while (!left_.empty() && has_room()) {
      const auto chosen = next();
      if (chosen == left_.end()) return;
      const int mesh = chosen->mesh;
      if (!made_.contains(mesh)) being_made_.insert(mesh);
      start(batch(mesh));
      tally_.side_by_side = std::max(tally_.side_by_side, static_cast<int>(pool_.processes()));
    }
  }

  void start(const std::vector<OrderedRun>& runs) {
    RowRunner runner(study_, meshes_);
    std::vector<int> rows;
    for (const OrderedRun& run : runs) rows.push_back(run.row->number);
    std::size_t next = 1;
    pool_.start(rows, [&](int row) {
      const OrderedRun& run = in_hand_.at(row);
      const bool next_alike = next < runs.size() && runs[next].solution == run.solution;
      ++next;
      return runner.run(*run.row, next_alike);
    });
  }

  void count(const RunPool::Finished& finished) {
    const RunRecord& record = finished.record;
    const OrderedRun run = in_hand_.at(finished.row);
    in_hand_.erase(finished.row);
    being_made_.erase(run.mesh);
    if (record.status == RunStatus::planned) {
      left_.push_front(run);
      work_left_ += run.work;
      return;
    }
    made_.insert(run.mesh);
    keep_(finished.row, record);
    ++(record.status == RunStatus::done     ? tally_.done
       : record.status == RunStatus::failed ? tally_.failed
                                            : tally_.refused);
    tally_.run_seconds += record.seconds;
    tally_.largest_memory_mb = std::max(tally_.largest_memory_mb, record.memory_mb);
    work_done_ += run.work;
    ++ended_;
  }

  void show() {
    progress_.show(
        work_ > 0 ? work_done_ / work_ : 1.0,
        fmt::format("{} of {} runs{}, {} side by side", ended_, all_,
                    tally_.failed > 0 ? fmt::format(" ({} failed)", tally_.failed) : "", pool_.processes()));
  }

  const Study& study_;
  const MeshCache& meshes_;
  const KeepRecord& keep_;
  int cores_;
  ProgressLine progress_;
  std::deque<OrderedRun> left_;
  std::size_t all_ = 0, ended_ = 0;
  double work_ = 0, work_left_ = 0, work_done_ = 0;  ///< in runs solved: of all, not begun, ended
  std::set<int> being_made_, made_;                  ///< meshes
  std::map<int, OrderedRun> in_hand_;                ///< by row
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

}  // namespace setstress
