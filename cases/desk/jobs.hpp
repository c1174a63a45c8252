#pragma once
// What the desk has others compute: a queue of child processes, their progress, and what they leave.

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <filesystem>
#include <list>
#include <mutex>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

namespace setstress {

/// One command to be run.
struct JobOrder {
  std::string doing;               ///< "run", "compare", "why", "odds"
  std::string plans;               ///< whose: "A", "AB"
  std::string key;                 ///< of all that its result depends on; also its folder below runs/
  std::vector<std::string> words;  ///< of the command line
};

class Jobs {
 public:
  /// Results lie in `runs`/KEY, whole where a file `done` stands beside them; at most `at_once` commands side
  /// by side, one at a time of the same plans.
  Jobs(std::filesystem::path runs, int at_once);
  Jobs(const Jobs&) = delete;
  Jobs& operator=(const Jobs&) = delete;
  ~Jobs();  ///< ends all that runs

  [[nodiscard]] bool is_kept(const std::string& key) const;
  [[nodiscard]] std::filesystem::path folder_of(const std::string& key) const { return runs_ / key; }
  /// Number of the job; of the one that waits or runs already where there is one of this key. Throws
  /// CaseError where too many wait.
  int submit(const JobOrder& order);
  /// Asks a job to end; asked again, ends it.
  void stop(int id);

  /// `jobs`, newest last: id, doing, plans, key, state ("waiting", "running", "done", "failed", "stopped"),
  /// fraction [-], left, message, seconds [s]; and the `version` that grows with every change: lists travel
  /// on several lines, and the older of two may come later.
  [[nodiscard]] nlohmann::ordered_json list() const;
  /// Waits until something changes after `version`, or for `longest`; the version now.
  std::uint64_t wait_for_change(std::uint64_t version, std::chrono::milliseconds longest) const;
  /// Nobody waits any more.
  void end_waiting();

 private:
  enum class State { waiting, running, done, failed, stopped };
  struct Job {
    int id = 0;
    JobOrder order{};
    State state = State::waiting;
    double fraction = 0;
    std::string left, message;
    std::chrono::steady_clock::time_point begun{}, ended{};
    pid_t pid = 0;
    bool asked_to_stop = false;
    std::thread thread{};
  };
  void start_waiting();
  void work_on(Job& job);
  void follow(Job& job);
  void told(Job& job, const std::string& line);
  void changed();

  std::filesystem::path runs_;
  int at_once_;
  mutable std::mutex mutex_;
  mutable std::condition_variable change_;
  std::uint64_t version_ = 1;
  bool ending_ = false;
  std::list<Job> jobs_;
};

}  // namespace setstress
