#pragma once
// Pictures that a result can do without.

#include <functional>
#include <optional>
#include <string>

#include "viz/drawing/display.hpp"

namespace setstress {

/// Starts the display, which gets ready while other things are done.
class OptionalPicture {
 public:
  OptionalPicture();
  /// Calls `draw` with the display at hand. Where there is none, returns why instead: numbers that took long
  /// to compute are worth having without a picture. Throws what `draw` throws.
  std::optional<std::string> unless_drawn(const std::function<void()>& draw);

 private:
  std::optional<Display> display_;  ///< one for all that is drawn
  std::optional<std::string> why_not_;
};

}  // namespace setstress
