#include "viz/words/spoken_time.hpp"

#include <fmt/core.h>

#include <cmath>

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
