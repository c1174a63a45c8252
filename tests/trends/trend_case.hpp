#pragma once
// Case files of the trend studies, and what is read from their results.

#include <string>
#include <vector>

#include "tests/solved_case.hpp"

namespace setstress::testing {

/// A case file that builds on `file` of this folder, with `over` laid over it.
std::string on_top_of(const std::string& file, const std::string& over);

/// Case-file text that gives the bond to every substrate this strength [MPa]: a film softer than a real one
/// may carry no more before it stores more energy than it takes to break it.
std::string bond_strength(double strength);

/// A number of wall `wall` ("all": the whole bond) at the end of the run, by its name in summary.json.
double at_end(const SolvedCase& solved, const std::string& wall, const std::string& number);

/// Both cusps, or mould walls, towards the cavity at the end of the run, added [um].
double deflection(const SolvedCase& solved);

enum class Side { tooth, filling };
/// First principal stress [MPa] of the elements of one side that have a whole face on a wall.
struct StressAtWall {
  double peak;  ///< largest of all elements; at a sharp edge it grows with every refinement
  double mean;  ///< by volume
};
StressAtWall stress_at_wall(const SolvedCase& solved, const std::string& wall, Side side);

/// How points of the filling have moved by the end of the run, corner nodes only.
struct Movement {
  std::vector<Eigen::Vector3d> points;         ///< before [mm]
  std::vector<Eigen::Vector3d> displacements;  ///< [mm]
};
Movement movement_of_filling(const SolvedCase& solved);

/// Pearson's coefficient of correlation [-].
double pearson(const std::vector<double>& x, const std::vector<double>& y);

}  // namespace setstress::testing
