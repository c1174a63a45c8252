#pragma once
// Case files made for one test.

#include <string>

namespace setstress::testing {

/// A whole and correct case; lines are numbered in the tests.
inline const std::string good_case = R"([tooth]
length = 8.0
width = 9.0
crown_height = 6.0
[preparation]
kind = "occlusal-box"
depth = 2.0
length = 3.0
width = 3.0
[materials]
filling = "conventional-paste"
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
[[plan.increment]]
layer = "horizontal"
thickness = 1.0
[[plan.increment]]
wait = "1 min"
)";

/// `good_case` with `before`, which must be in it, replaced by `after`.
inline std::string changed(const std::string& before, const std::string& after) {
  std::string text = good_case;
  return text.replace(text.find(before), before.size(), after);  // throws std::out_of_range where it is not
}

}  // namespace setstress::testing
