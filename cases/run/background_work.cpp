#include "cases/run/background_work.hpp"

#include "solver/machine/stopwatch.hpp"

namespace setstress {

BackgroundWork::BackgroundWork(std::size_t most_waiting)
    : most_waiting_(most_waiting), thread_([this] { work(); }) {}

BackgroundWork::~BackgroundWork() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
    changed_.notify_all();
  }
  thread_.join();
}

void BackgroundWork::add(std::function<void()> piece) {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return failure_ || pieces_.size() <= most_waiting_; });
  if (failure_) std::rethrow_exception(failure_);
  pieces_.push_back(std::move(piece));
  changed_.notify_all();
}

void BackgroundWork::finish() {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return failure_ || pieces_.empty(); });
  if (failure_) std::rethrow_exception(failure_);
}

double BackgroundWork::seconds() {
  const std::lock_guard lock(mutex_);
  return seconds_;
}

void BackgroundWork::work() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return closing_ || (!pieces_.empty() && !failure_); });
    if (closing_) return;
    do_first(lock);
    changed_.notify_all();
  }
}

void BackgroundWork::do_first(std::unique_lock<std::mutex>& lock) {
  std::function<void()> piece = std::move(pieces_.front());
  double seconds = 0;
  std::exception_ptr failure;
  lock.unlock();
  try {
    const Stopwatch watch(seconds);
    piece();
  } catch (...) {
    failure = std::current_exception();
  }
  piece = nullptr;  // what it holds goes before the next one may come
  lock.lock();
  pieces_.pop_front();
  failure_ = failure;
  seconds_ += seconds;
}

}  // namespace setstress
