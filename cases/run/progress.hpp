#pragma once
// Progress with time left, on standard error: one line that is rewritten on a terminal, now and then a line
// otherwise.

#include <chrono>
#include <string>

namespace setstress {

class ProgressLine {
 public:
  /// `quiet`: says nothing at all.
  ProgressLine(std::string task, bool quiet);
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  ~ProgressLine();

  /// `fraction` of the work [-] and what is going on. Silent for the first two seconds.
  void show(double fraction, const std::string& doing);

 private:
  using Clock = std::chrono::steady_clock;
  std::string task_;
  bool quiet_, terminal_, shown_ = false;
  Clock::time_point start_ = Clock::now(), last_ = start_;
};

}  // namespace setstress
