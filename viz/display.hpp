#pragma once
// Somewhere to draw: the display at hand, or a private one where there is none.

#include <sys/types.h>

#include <optional>
#include <string>

namespace setstress {

/// Makes sure that an X display is there while this object lives. Where DISPLAY is unset or does not answer,
/// starts a private virtual one (Xvfb) and points DISPLAY at it; it ends with this object, and with the
/// program however that ends. Changes the environment: make it before other threads read that. Throws
/// std::runtime_error, in a sentence that names the package, when Xvfb is missing or does not start.
class Display {
 public:
  Display();
  Display(const Display&) = delete;
  Display& operator=(const Display&) = delete;
  ~Display();
  /// Process of the private display; 0 when the display at hand is used.
  [[nodiscard]] pid_t private_process() const { return process_; }

 private:
  void start_private_display();
  void stop_private_display();
  pid_t process_ = 0;
  std::optional<std::string> display_before_;
};

}  // namespace setstress
