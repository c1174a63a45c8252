#pragma once
// A whole system in a file: what a machine without meshers and matrices solves, for benchmarks and tests.

#include <filesystem>
#include <vector>

#include "solver/lanes/lane_solver.hpp"

namespace setstress {

/// One call of LaneSolver::solve() and all that comes before it.
struct LaneSystem {
  LaneMesh mesh;
  LaneEquations equations;
  LaneSweeps sweeps;
  LaneFactor factor;
  std::vector<std::vector<float>> moduli, bond;  ///< by lane, as set_values() takes them
  std::vector<std::vector<double>> right;        ///< by lane: b [N]
};

/// Numbers as they are in memory, each array with its length before it. Throws std::runtime_error.
void write(const LaneSystem& system, const std::filesystem::path& file);
/// Throws std::runtime_error, naming the file and what is wrong: it cannot be read, is not such a file, was
/// made on a machine with other numbers, ends too early, or holds arrays that do not fit each other.
LaneSystem read_lane_system(const std::filesystem::path& file);

}  // namespace setstress
