#pragma once
// Somewhere to draw: the display at hand, or a private one where there is none.

#include <sys/types.h>

#include <optional>
#include <string>

namespace setstress {

/// Makes sure that an X display is there while this object lives. Where DISPLAY is unset or does not answer,
/// starts a private virtual one (Xvfb) and points DISPLAY at it; it ends with this object, and with the
/// program however that ends. Changes the environment: make it, and await it, while no other thread reads
/// that.
class Display {
 public:
  enum class Ready { now, later };
  /// A display that is ready later must be awaited before anything is drawn. Throws std::runtime_error, in a
  /// sentence that names the package, when Xvfb is missing or does not start; where it is later, from
  /// `await`.
  explicit Display(Ready ready = Ready::now);
  Display(const Display&) = delete;
  Display& operator=(const Display&) = delete;
  ~Display();
  /// Waits until the display is ready.
  void await();
  /// Process of the private display; 0 when the display at hand is used.
  [[nodiscard]] pid_t private_process() const { return process_; }

 private:
  void start_private_display();
  void stop_private_display();
  pid_t process_ = 0;
  int number_pipe_ = -1;  ///< tells the number of the private display; closed when that is known
  std::optional<std::string> display_before_;
};

}  // namespace setstress
