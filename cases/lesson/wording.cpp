#include "cases/lesson/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace setstress {

std::string in_mpa(double stress) {
  if (std::abs(stress) < 0.05) return "0.0 MPa";
  return fmt::format("{:.{}f} MPa", stress, std::abs(stress) < 9.95 ? 1 : 0);
}

std::string in_percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

std::string spoken_wall(const std::string& wall) {
  return wall.ends_with("floor") || wall.ends_with("walls") ? wall : wall + " wall";
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i)
    text += (i == 0 ? "" : i + 1 < words.size() ? ", " : " and ") + words[i];
  return text;
}

Change change(double first, double second) {
  if (std::abs(second - first) <= 0.05 * std::max(std::abs(first), std::abs(second))) return Change::same;
  return second > first ? Change::more : Change::less;
}

}  // namespace setstress
