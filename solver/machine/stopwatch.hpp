#pragma once
// Adds the time between its birth and its end to a sum of seconds.

#include <chrono>

namespace setstress {

class Stopwatch {
 public:
  explicit Stopwatch(double& seconds) : seconds_(seconds), start_(std::chrono::steady_clock::now()) {}
  ~Stopwatch() {
    seconds_ += std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
  }
  Stopwatch(const Stopwatch&) = delete;
  Stopwatch& operator=(const Stopwatch&) = delete;

 private:
  double& seconds_;
  std::chrono::steady_clock::time_point start_;
};

}  // namespace setstress
