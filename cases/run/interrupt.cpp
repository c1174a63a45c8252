#include "cases/run/interrupt.hpp"

#include <csignal>

namespace setstress {

namespace {

volatile std::sig_atomic_t stop_asked = 0;  // the one thing a signal handler may set
int guards = 0;

void note(int signal) {
  stop_asked = 1;
  std::signal(signal, SIG_DFL);
}

}  // namespace

InterruptGuard::InterruptGuard() {
  if (guards++ > 0) return;
  stop_asked = 0;
  before_interrupt_ = std::signal(SIGINT, note);
  before_terminate_ = std::signal(SIGTERM, note);
}

InterruptGuard::~InterruptGuard() {
  if (--guards > 0) return;
  std::signal(SIGINT, before_interrupt_);
  std::signal(SIGTERM, before_terminate_);
}

bool InterruptGuard::asked_to_stop() const {
  return stop_asked != 0;
}

}  // namespace setstress
