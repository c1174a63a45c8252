#pragma once
// Ctrl-C asks a run to end after its current step.

namespace setstress {

/// While it lives, the first Ctrl-C (or a polite request to end, SIGTERM) is noted instead of ending the
/// program; the second one ends it at once. One within another shares what is noted.
class InterruptGuard {
 public:
  InterruptGuard();
  InterruptGuard(const InterruptGuard&) = delete;
  InterruptGuard& operator=(const InterruptGuard&) = delete;
  ~InterruptGuard();
  [[nodiscard]] bool asked_to_stop() const;

 private:
  using Handler = void (*)(int);
  Handler before_interrupt_ = nullptr, before_terminate_ = nullptr;  ///< of the outermost
};

}  // namespace setstress
