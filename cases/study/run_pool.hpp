#pragma once
// Runs side by side, each in a process of its own: a run that crashes or is killed takes no other with it,
// its memory is all given back, and the mesher, which is one for a whole process, is never shared.

#include <sys/types.h>

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cases/study/study_database.hpp"

namespace setstress {

class RunPool {
 public:
  struct Finished {
    int row;
    RunRecord record;
  };

  RunPool() = default;
  RunPool(const RunPool&) = delete;
  RunPool& operator=(const RunPool&) = delete;
  ~RunPool();  ///< kills what still runs

  /// Starts `run` for `row` in a process of its own, which dies with this one. Throws std::runtime_error
  /// where the system has no room for one.
  void start(int row, const std::function<RunRecord()>& run);

  /// The next run that ends, or nothing after `patience` [s] or when a signal came in.
  std::optional<Finished> wait(double patience);

  [[nodiscard]] std::size_t running() const { return runs_.size(); }

 private:
  struct Run {
    int row;
    pid_t process;
    int pipe;  ///< to read the record from
    std::string received;
  };
  Finished finish(std::size_t which);
  std::vector<Run> runs_;
};

/// Memory that programs may still take [MB], as the kernel estimates it (and, where one is set, within the
/// limit of the control group).
double available_memory_mb();

}  // namespace setstress
