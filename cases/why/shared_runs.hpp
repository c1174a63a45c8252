#pragma once
// Many cases that have much in common, solved as seldom as can be: one mesh for all that have the same, and
// where the bond holds one solution for all that differ in nothing but strength (solver/run/kept_bond.hpp).

#include <functional>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/run/kept_run.hpp"

namespace setstress {

/// Ctrl-C, before all was solved.
struct RunsStopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Intact runs that were made before, for other ends.
using MadeRuns = std::vector<const KeptRun*>;

class SharedRuns {
 public:
  /// Called while it solves: share of all the work done [-], and how many solutions are there. False: stop.
  using Watch = std::function<bool(double share, int solved)>;

  /// Meshes what has to be. What `made` (which must outlive this) serves is not solved again. Throws as
  /// pose().
  explicit SharedRuns(std::vector<Case> cases, MadeRuns made = {});

  /// How many have to be solved; the others are the same, or are judged.
  [[nodiscard]] int solutions() const { return solutions_; }
  [[nodiscard]] int different() const { return static_cast<int>(runs_.size()); }  ///< of the cases
  [[nodiscard]] const Mesh& mesh_of(std::size_t which) const;                     ///< of case `which`

  /// Summaries (summary.json), by case. Throws RunsStopped, or as solve_case().
  [[nodiscard]] std::vector<nlohmann::ordered_json> summaries(const Watch& watch) const;

 private:
  struct Run {
    Case input;
    Model model;  ///< without its mesh
    std::size_t mesh;
  };
  void add(Case input);
  std::size_t mesh_for(const Case& input);
  [[nodiscard]] Model whole_model(const Run& run) const;

  std::vector<std::string> keys_;  ///< of the meshes
  std::vector<Mesh> meshes_;
  std::vector<Run> runs_;                         ///< that differ
  std::vector<std::size_t> of_case_;              ///< its run, by case
  std::vector<std::vector<std::size_t>> groups_;  ///< runs with one solution
  std::vector<const KeptRun*> made_;              ///< by group: its solution, where it was made before
  int solutions_ = 0;
};

}  // namespace setstress
