#include "viz/words/spoken_time.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace setstress {

std::string duration_text(double seconds) {
  const long long whole = std::llround(seconds);
  std::vector<std::string> parts;
  if (whole >= 3600) parts.push_back(fmt::format("{} h", whole / 3600));
  if (whole / 60 % 60 > 0) parts.push_back(fmt::format("{} min", whole / 60 % 60));
  if (whole % 60 > 0 || parts.empty()) parts.push_back(fmt::format("{} s", whole % 60));
  return fmt::format("{}", fmt::join(parts, " "));
}

}  // namespace setstress
