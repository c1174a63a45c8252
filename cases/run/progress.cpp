#include "cases/run/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

constexpr double first_shown = 2.0;     // [s]
constexpr double terminal_pause = 0.2;  // [s] between two rewritings of the line
constexpr double file_pause = 15.0;     // [s] between two lines where they stay
constexpr const char* clear_line = "\r\033[K";

}  // namespace

ProgressLine::ProgressLine(std::string task, bool quiet)
    : task_(std::move(task)), quiet_(quiet), terminal_(isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() {
  if (shown_ && terminal_) std::fputs(clear_line, stderr);
}

void ProgressLine::show(double fraction, const std::string& doing) {
  if (quiet_) return;
  const auto seconds = [](Clock::duration d) { return std::chrono::duration<double>(d).count(); };
  const Clock::time_point now = Clock::now();
  const double elapsed = seconds(now - start_);
  if (elapsed < first_shown) return;
  if (shown_ && seconds(now - last_) < (terminal_ ? terminal_pause : file_pause)) return;
  last_ = now;
  shown_ = true;
  const std::string left = fraction > 0.01
                               ? "about " + duration_text(elapsed * (1.0 - fraction) / fraction) + " left"
                               : "time left not known yet";
  fmt::print(stderr, "{}{}: {:3.0f} %, {}; {}{}", terminal_ ? clear_line : "", task_, 100.0 * fraction, left,
             doing, terminal_ ? "" : "\n");
  std::fflush(stderr);
}

}  // namespace setstress
