#include <fmt/core.h>

#include <cmath>

#include "viz/pictures.hpp"

namespace setstress {

std::string spoken_time(double seconds) {
  const auto whole = static_cast<long>(std::floor(seconds));
  if (seconds < 60) return fmt::format("{:.3g} s", seconds);
  std::string text;
  if (whole >= 3600) text += fmt::format("{} h", whole / 3600);
  if (whole / 60 % 60 > 0) text += fmt::format("{}{} min", text.empty() ? "" : " ", whole / 60 % 60);
  const double rest = seconds - 60.0 * static_cast<double>(whole / 60);
  if (rest >= 0.05 && whole < 3600) text += fmt::format(" {:.3g} s", rest);
  return text;
}

}  // namespace setstress
