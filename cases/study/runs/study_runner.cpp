#include "cases/study/runs/study_runner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <deque>
#include <map>
#include <numeric>
#include <set>
#include <thread>

#include "cases/run/progress.hpp"
#include "cases/study/design/lane_classes.hpp"
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
constexpr double work_in_a_lane = 0.4;     // of a run alone: measured on coarse boxes
constexpr int first_lanes = 8;             // filled while nobody knows what memory a run takes

/// A study on its way.
class Session {
 public:
  Session(const Study& study, const MeshCache& meshes, const RunOptions& options, const KeepRecord& keep)
      : study_(study),
        meshes_(meshes),
        keep_(keep),
        cores_(options.jobs),
        lanes_(options.lanes),
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
    if (lanes_.most > 0) classes_ = LaneClasses(study_, plan, fewest_in_lanes);
    for (OrderedRun& run : left_)
      if (!alike(run).empty()) run.work = work_in_a_lane;
    all_ = left_.size();
    for (const OrderedRun& run : left_) work_ += run.work;
    work_left_ = work_;
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

  /// That it may advance with; empty: it is made alone.
  [[nodiscard]] const std::vector<const StudyRow*>& alike(const OrderedRun& run) const {
    static const std::vector<const StudyRow*> none;
    return alone_.contains(run.row->number) ? none : classes_.with(run.row->number);
  }

  /// Takes runs that may advance together out of those left: few at first, later as many as there are
  /// lanes, but so few that all cores have some.
  std::vector<OrderedRun> group(const std::vector<const StudyRow*>& alike, int mesh) {
    const auto belongs = [&](const OrderedRun& run) { return &this->alike(run) == &alike; };
    const auto left = static_cast<int>(std::ranges::count_if(left_, belongs));
    const int share = (left + cores_ - 1) / cores_;
    const bool pilot = tally_.largest_memory_mb == 0 || being_made_.contains(mesh);
    const int most = std::min(
        {share, lanes_.most, pilot ? first_lanes : lanes_.most, std::max(1, runs_in_memory() / cores_)});
    std::vector<OrderedRun> runs;
    for (auto run = left_.begin(); run != left_.end() && static_cast<int>(runs.size()) < most;) {
      if (belongs(*run)) {
        take(*run, runs);
        run = left_.erase(run);
      } else {
        ++run;
      }
    }
    return runs;
  }

  /// Runs in groups that memory has room for.
  [[nodiscard]] int runs_in_memory() const {
    if (lane_memory_mb_ == 0) return cores_ * lanes_.most;
    return static_cast<int>(
        std::min(available_memory_mb() / (memory_in_reserve * lane_memory_mb_), 1.0 * cores_ * lanes_.most));
  }

  void take(const OrderedRun& run, std::vector<OrderedRun>& runs) {
    runs.push_back(run);
    in_hand_.emplace(run.row->number, run);
    work_left_ -= run.work;
  }

  /// Takes runs of one mesh out of those left: one solution at first, later more, but so little work that all
  /// cores end together.
  std::vector<OrderedRun> batch(int mesh) {
    const double share = work_left_ / (4 * cores_);
    const double most = tally_.largest_memory_mb == 0 ? 1 : std::clamp(share, 1.0, longest_batch);
    std::vector<OrderedRun> runs;
    double work = 0;
    for (auto run = left_.begin(); run != left_.end();) {
      if (run->mesh != mesh || !alike(*run).empty()) {
        ++run;
        continue;
      }
      const bool same = !runs.empty() && runs.back().solution == run->solution;
      work += same ? work_of_judging : 1;
      if (!runs.empty() && work > (same ? std::max(most, worth_a_solution) : most)) break;
      take(*run, runs);
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
      if (const auto& together = alike(*chosen); !together.empty())
        start_together(group(together, mesh), together);
      else
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

  void start_together(const std::vector<OrderedRun>& runs, const std::vector<const StudyRow*>& alike) {
    RowRunner runner(study_, meshes_);
    std::vector<int> numbers;
    std::vector<const StudyRow*> rows;
    for (const OrderedRun& run : runs) {
      in_hand_.at(run.row->number).together = static_cast<int>(runs.size());
      numbers.push_back(run.row->number);
      rows.push_back(run.row);
    }
    std::vector<RunRecord> records;
    std::size_t next = 0;
    pool_.start(
        numbers,
        [&](int) {
          if (records.empty()) records = runner.run_together(rows, alike, lanes_.machine);
          return records.at(next++);
        },
        true);
  }

  void count(const RunPool::Finished& finished) {
    const RunRecord& record = finished.record;
    const OrderedRun run = in_hand_.at(finished.row);
    in_hand_.erase(finished.row);
    being_made_.erase(run.mesh);
    if (record.status == RunStatus::planned) {
      left_.push_front(run);
      alone_.insert(finished.row);  // if it was in a group: it may have been the one that ended it
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
    if (record.lanes > 0) lane_memory_mb_ = record.memory_mb / run.together;
    work_done_ += run.work;
    ++ended_;
  }

  void show() {
    const double in_hand = std::accumulate(in_hand_.begin(), in_hand_.end(), 0.0,
                                           [](double sum, const auto& run) { return sum + run.second.work; });
    const double under_way =
        in_hand_.empty() ? 0 : pool_.under_way() * in_hand / static_cast<double>(in_hand_.size());
    progress_.show(
        work_ > 0 ? (work_done_ + under_way) / work_ : 1.0,
        fmt::format("{} of {} runs{}, {} side by side", ended_, all_,
                    tally_.failed > 0 ? fmt::format(" ({} failed)", tally_.failed) : "", pool_.processes()));
  }

  const Study& study_;
  const MeshCache& meshes_;
  const KeepRecord& keep_;
  int cores_;
  Lanes lanes_;
  LaneClasses classes_;
  double lane_memory_mb_ = 0;  ///< that a run of a group takes, its share of what all need included [MB]
  std::set<int> alone_;        ///< rows not to be made together
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

std::vector<int> pilot_rows(const Study& study, const StudyPlan& plan, const std::vector<int>& rows,
                            int lanes) {
  std::vector<int> first{rows.front()};
  if (lanes == 0) return first;
  for (const StudyRow* row : LaneClasses(study, plan, fewest_in_lanes).with(rows.front()))
    if (static_cast<int>(first.size()) < first_lanes && row->number != rows.front() &&
        std::ranges::find(rows, row->number) != rows.end())
      first.push_back(row->number);
  return first;
}

RunTally make_runs(const Study& study, const StudyPlan& plan, const std::vector<int>& rows,
                   const MeshCache& meshes, const RunOptions& options, const KeepRecord& keep,
                   const std::function<bool()>& asked_to_stop) {
  Session session(study, meshes, options, keep);
  session.plan(plan, rows);
  return session.run(asked_to_stop);
}

}  // namespace setstress
