#pragma once
// The numbers of each wall that people are told, read from a summary: run and compare take them from here, so
// that one quantity has one number.

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

namespace setstress {

/// Walls that are mirror images of each other (mirror_walls.hpp) can be judged together: areas and volumes
/// are then sums, shares, means and percentiles the means of both by area, times those of the wall that is
/// the worse of the two.
struct WallNumbers {
  std::string wall = {};  ///< "floor", "all", "buccal and lingual"
  bool mirrored = false;  ///< two walls, judged together
  double area = 0;        ///< [mm2]
  struct Highest {
    double time;    ///< [s] since the bond was cured
    double ratio;   ///< 95th percentile by area of the stress-to-strength ratio [-]
    double placed;  ///< on so much of the wall [mm2]
    double area;    ///< of that wall, one of two where they are judged together [mm2]
  };
  std::optional<Highest> highest = {};                   ///< while all of the wall is placed
  std::optional<Highest> higher_while_part_filled = {};  ///< where a part bore more than the whole ever does
  std::optional<double> highest_mean =
      {};  ///< of the ratio while all of the wall is placed, mean by area [-]
  /// That it has started to fail somewhere by the end, of walls judged together either [-];
  /// weakest_links.hpp.
  std::optional<double> chance_started = {};
  std::optional<double> worst_time = {};  ///< of the worst instant [s]
  /// Shares of the whole wall, placed or not [-]: at strength at its worst instant, all else at the end.
  std::optional<double> at_strength = {}, debonded = {}, softened = {}, strength_lost = {};
  /// The highest of what is stored over what parting all of it takes [-] (energy_bound.hpp), of walls judged
  /// together that of the one for which it is higher.
  std::optional<double> energy_bound = {};
  std::optional<double> conversion = {};   ///< relative, of the paste beside it, at the end, mean by area [-]
  std::optional<double> gap_volume = {};   ///< at the end [mm3]
  std::optional<double> largest_gap = {};  ///< at the end [um]
};

/// Every wall of a summary, then "all"; empty where nothing was ever placed on it. `pairs` as mirror_walls
/// gives them: each becomes one entry.
std::vector<WallNumbers> wall_numbers(const nlohmann::ordered_json& summary,
                                      const nlohmann::ordered_json& pairs);

/// "floor", "axial wall", "buccal and lingual walls", "whole bond".
std::string wall_in_words(const WallNumbers& wall);

}  // namespace setstress
