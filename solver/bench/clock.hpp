#pragma once
// Wall time and processor time of a stretch of code.

#include <chrono>
#include <ctime>

namespace setstress::bench {

class Clock {
 public:
  void restart() { *this = Clock(); }
  [[nodiscard]] double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - wall_).count();
  }
  /// Over all threads [s]: what the work costs, even on a machine that is busy with other things.
  [[nodiscard]] double processor_seconds() const {
    return static_cast<double>(std::clock() - processor_) / CLOCKS_PER_SEC;
  }

 private:
  std::chrono::steady_clock::time_point wall_ = std::chrono::steady_clock::now();
  std::clock_t processor_ = std::clock();
};

}  // namespace setstress::bench
