#pragma once
// Runs side by side in processes of their own: a run that crashes or is killed takes no other with it, memory
// is all given back, and the mesher, which is one for a whole process, is never used by two runs at once.

#include <sys/types.h>

#include <deque>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cases/study/table/study_database.hpp"

namespace setstress {

class RunPool {
 public:
  struct Finished {
    int row;
    RunRecord record;  ///< of status planned: its process died before it was begun
  };

  RunPool() = default;
  RunPool(const RunPool&) = delete;
  RunPool& operator=(const RunPool&) = delete;
  ~RunPool();  ///< kills what still runs

  /// Starts a process that makes the runs `rows`, one after the other, and dies with this one. `together`:
  /// the first call of `run` makes them all; where it dies, nobody knows which run was to blame, and all are
  /// given back. Throws std::runtime_error where the system has no room for one.
  void start(const std::vector<int>& rows, const std::function<RunRecord(int row)>& run,
             bool together = false);

  /// In a process of a pool: the share of the run in its hands, or of the runs that it makes together, that
  /// is done [-]. Says nothing elsewhere.
  static void tell(double share);
  /// What processes have told: runs' worth of work done on runs that have not ended.
  [[nodiscard]] double under_way() const;

  /// The next run that ends, or nothing after `patience` [s] or when a signal came in.
  std::optional<Finished> wait(double patience);

  [[nodiscard]] std::size_t processes() const { return processes_.size(); }
  [[nodiscard]] std::size_t rows_in_hand() const;  ///< started, and not ended

 private:
  struct Process {
    std::deque<int> rows;  ///< that have not ended; the first is being made
    pid_t id;
    int pipe;  ///< to read records from, a line each
    bool together;
    std::string received;
    double share;  ///< as told
  };
  void take_records(Process& process);
  void bury(std::size_t which);

  std::vector<Process> processes_;
  std::deque<Finished> finished_;
};

/// Memory that programs may still take [MB], as the kernel estimates it (and, where one is set, within the
/// limit of the control group).
double available_memory_mb();

}  // namespace setstress
