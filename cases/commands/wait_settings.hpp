#pragma once
// What `setstress wait` is asked.

#include <optional>
#include <string>
#include <vector>

namespace setstress {

/// As given on the command line; times are text such as "5 min" or a number of seconds.
struct WaitSettings {
  std::string wall = "floor", substrate = "all";
  std::string quantity = "area-over-strength";
  std::optional<double> below;  ///< in the unit of the quantity; areas in per cent
  int before = 1;               ///< [[plan.increment]] that waits, from 1
  std::string longest = "30 min", within = "5 s";
  int points = 9;
  std::vector<std::string> laws;  ///< empty: all
};

}  // namespace setstress
