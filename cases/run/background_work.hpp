#pragma once
// Work that is done beside something else, in a thread of its own.

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>

namespace setstress {

/// Does one piece of work after the other, in the order they are given. After one that throws none is begun.
class BackgroundWork {
 public:
  /// No more than `most_waiting` pieces wait behind the one that is being done: what they hold takes memory.
  explicit BackgroundWork(std::size_t most_waiting);
  BackgroundWork(const BackgroundWork&) = delete;
  BackgroundWork& operator=(const BackgroundWork&) = delete;
  ~BackgroundWork();  ///< ends the piece that is being done and leaves out those that wait

  /// Waits while too many wait. Throws what an earlier piece threw.
  void add(std::function<void()> piece);
  /// Waits until all is done. Throws what a piece threw.
  void finish();
  /// What the pieces done so far took [s].
  [[nodiscard]] double seconds();

 private:
  void work();
  void do_first(std::unique_lock<std::mutex>& lock);

  std::size_t most_waiting_;
  std::mutex mutex_;  ///< guards all below
  std::condition_variable changed_;
  std::deque<std::function<void()>> pieces_;  ///< the first is being done
  std::exception_ptr failure_;
  double seconds_ = 0;
  bool closing_ = false;
  std::thread thread_;
};

}  // namespace setstress
