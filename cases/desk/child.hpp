#pragma once
// This same program once more, as a process of its own: whatever happens to it, the desk lives on.

#include <sys/types.h>

#include <functional>
#include <string>
#include <vector>

namespace setstress {

/// How a child ended.
struct ChildEnd {
  int exit = 0;       ///< its exit code; -1 where a signal ended it
  int signal = 0;     ///< that signal
  std::string words;  ///< the last sentence that it left, without "setstress: "; empty where it left none
};

/// A running `setstress WORDS...`, in a group of its own with what it starts. It is asked to end when the
/// thread that started it ends.
class Child {
 public:
  /// Throws std::runtime_error where no process can be started.
  explicit Child(const std::vector<std::string>& words);
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;
  ~Child();

  [[nodiscard]] pid_t pid() const { return pid_; }
  /// Hands every line of progress to `progress` until the child ends. Call once, from the thread that made
  /// it.
  ChildEnd wait(const std::function<void(const std::string& line)>& progress);

 private:
  pid_t pid_ = -1;
  int messages_ = -1;  ///< what it says on standard error, as on a terminal: progress is told as it goes
  bool ended_ = false;
};

/// Asks the child and all it started to end; `at_once`: ends them.
void end_child(pid_t pid, bool at_once);

}  // namespace setstress
