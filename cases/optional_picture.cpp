#include "cases/optional_picture.hpp"

#include <exception>

#include "viz/display.hpp"

namespace setstress {

std::optional<std::string> unless_drawn(const std::function<void()>& draw) {
  std::optional<Display> display;  // one for all that is drawn
  try {
    display.emplace();
  } catch (const std::exception& error) {
    return error.what();
  }
  draw();
  return {};
}

}  // namespace setstress
