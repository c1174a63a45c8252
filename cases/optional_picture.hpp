#pragma once
// Pictures that a result can do without.

#include <functional>
#include <optional>
#include <string>

namespace setstress {

/// Calls `draw` with a display at hand. Where there is none, returns why instead: numbers that took long to
/// compute are worth having without a picture. Throws what `draw` throws.
std::optional<std::string> unless_drawn(const std::function<void()>& draw);

}  // namespace setstress
