#pragma once
// What a wall has been through, step by step, from a result's walls.csv.

#include <filesystem>
#include <string>
#include <vector>

namespace setstress {

struct WallInstant {
  double time;        ///< [s] since the bond was cured
  double mean_ratio;  ///< mean stress-to-strength ratio [-]
};

/// The steps at which all of `wall` ("all" for the whole bond) is filled, in order. Throws std::runtime_error
/// naming the file when it is missing or not as this version writes it.
std::vector<WallInstant> whole_wall_history(const std::filesystem::path& result, const std::string& wall);

}  // namespace setstress
