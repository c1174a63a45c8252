#include "viz/words/spoken_time.hpp"

#include <fmt/core.h>

#include <cmath>

namespace setstress {

std::string spoken_time(double seconds) {
  const long whole = std::lround(seconds);
  if (whole < 60) return fmt::format("{} s", whole);
  std::string text;
  if (whole >= 3600) text += fmt::format("{} h", whole / 3600);
  if (whole / 60 % 60 > 0) text += fmt::format("{}{} min", text.empty() ? "" : " ", whole / 60 % 60);
  if (whole % 60 > 0 && whole < 3600) text += fmt::format(" {} s", whole % 60);
  return text;
}

std::string duration_text(double seconds) {
  const double rounded = std::round(seconds);
  const int minutes = static_cast<int>(rounded / 60.0);
  const int rest = static_cast<int>(rounded - 60.0 * minutes);
  if (minutes == 0) return fmt::format("{} s", rest);
  if (minutes < 120)
    return rest == 0 ? fmt::format("{} min", minutes) : fmt::format("{} min {} s", minutes, rest);
  return fmt::format("{:.1f} h", seconds / 3600.0);
}

}  // namespace setstress
