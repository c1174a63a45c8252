#pragma once
// One figure of the benchmark: what it is called, what it should be, how to get it.

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace setstress::bench {

struct Options {
  int threads = 1;     ///< of both sides of every comparison
  bool full = false;   ///< run references to the end instead of scaling a few of their steps
  std::string meshes;  ///< folder with the meshes of runs in lanes (kept_mesh.hpp); empty: they are made
};

struct Reading {
  double value;
  std::string detail;  ///< sizes, times, and what was scaled up rather than run
};

struct Measure {
  std::string name, unit, meaning;
  std::optional<double> aim;  ///< none: only told
  bool at_least;              ///< aim is a lower limit; otherwise an upper one
  std::function<Reading(const Options&)> read;
  [[nodiscard]] bool met(double value) const { return !aim || (at_least ? value >= *aim : value <= *aim); }
};

/// All of them, in the order of the table.
std::vector<Measure> all_measures();

// By file.
std::vector<Measure> sequence_measures();
std::vector<Measure> debonding_measures();
std::vector<Measure> growth_measures();
std::vector<Measure> thread_measures();
std::vector<Measure> many_measures();
std::vector<Measure> lane_measures();
std::vector<Measure> gpu_measures();

}  // namespace setstress::bench
