#include "cases/run/optional_picture.hpp"

#include <exception>

namespace setstress {

OptionalPicture::OptionalPicture() {
  try {
    display_.emplace(Display::Ready::later);
  } catch (const std::exception& error) {
    why_not_ = error.what();
  }
}

std::optional<std::string> OptionalPicture::unless_drawn(const std::function<void()>& draw) {
  if (!display_) return why_not_;
  try {
    display_->await();
  } catch (const std::exception& error) {
    return error.what();
  }
  draw();
  return {};
}

}  // namespace setstress
