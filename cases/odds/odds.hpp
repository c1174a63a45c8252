#pragma once
// How sure a difference between two plans is: both made again under the same draws of everything uncertain.

#include <cstdint>
#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cases/odds/draws.hpp"
#include "cases/study/runs/lanes.hpp"
#include "cases/study/statistics/paired.hpp"
#include "cases/study/table/result_table.hpp"
#include "cases/why/why.hpp"

namespace setstress {

struct OddsSettings {
  int draws = 64;
  std::uint64_t seed = 1;
  int processes = 0;  ///< side by side; 0: as many as cores
  Lanes lanes = {0};  ///< of draws of intact runs; 0: one by one
  bool quiet = false;
  /// Processor seconds that a run takes here over what estimated_seconds() (run_cost.hpp) says [-]; 0: not
  /// known.
  double pace = 0;
  /// Database in which every draw is kept as soon as it is made, and from which the run goes on; empty: none.
  std::filesystem::path database = {};
  std::filesystem::path earlier = {};  ///< one whose draws are taken over; need not be there
};

/// What came of one draw.
struct OddsRow {
  int draw = 0;  ///< from 1
  RunStatus status = RunStatus::planned;
  std::string message;  ///< why it has no numbers
  /// Of each plan those that Odds::number knows, then 1 where it is under-cured.
  std::vector<double> numbers;
  double seconds = 0;  ///< that it took, on one core
};

struct Odds {
  std::string first, second;  ///< names of the plans
  std::string mode;           ///< as in a summary
  std::string coarse;         ///< what coarse_mesh_sentence says of either mesh; "" where fine enough
  double element_size = 0;    ///< along the bond [mm]
  std::string sum;            ///< equal for odds whose rows can be put together
  std::uint64_t seed = 1;
  int asked = 0;                                 ///< draws
  bool in_lanes = false;                         ///< made side by side, led by the first; else one by one
  LaneMachine machine = LaneMachine::processor;  ///< for lanes
  std::vector<UncertainInput> inputs;
  std::vector<std::vector<double>> values;  ///< by draw, then input
  std::vector<WallNumbers> walls;           ///< names only
  std::vector<WhyMeasure> measures;         ///< that the meshes can give
  std::vector<OddsRow> rows;                ///< by draw, those that were made
  Cuts cuts;

  /// NaN where there is none.
  [[nodiscard]] double number(const OddsRow& row, bool second, std::size_t measure, std::size_t wall) const;
  [[nodiscard]] std::size_t numbers_of_plan() const { return measures.size() * walls.size() + 1; }
  [[nodiscard]] int under_cured(bool second) const;  ///< draws in which an increment of this plan is
  /// Second minus first, by row.
  [[nodiscard]] std::vector<double> differences(std::size_t measure, std::size_t wall) const;
  [[nodiscard]] int done() const;  ///< rows with numbers
};

/// "one by one", "in lanes, led by the first", and on what.
std::string how_made(const Odds& odds);

/// A case as its draws are solved: on `mesh` and, where the bond holds, in steps of at least
/// `draw_conversion_step`. In a deep box in layers that moves mean ratios by 0.3 %, where elements of 1.2 mm
/// move them by 6 %, and takes a third of the time off.
Case meshed_for_draws(Case input, const MeshSize& mesh);
inline constexpr double draw_conversion_step = 0.16;  ///< of relative conversion [-]

/// Draws, and solves what the database does not have; says before how much that is and about how long it
/// takes, once more when a draw has shown it. Ctrl-C ends it with the rows that there are. Draws that cannot
/// be built or solved are rows with a message. Throws CaseError where the two cases cannot be drawn alike; as
/// pose() and OddsDatabase.
Odds find_odds(const Case& first, const Case& second, const OddsSettings& settings);

}  // namespace setstress
