#pragma once
// How sure a difference between two plans is: both made again under the same draws of everything uncertain.

#include <cstdint>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cases/odds/draws.hpp"
#include "cases/study/statistics/paired.hpp"
#include "cases/study/table/result_table.hpp"
#include "cases/why/why.hpp"

namespace setstress {

struct OddsSettings {
  int draws = 64;
  std::uint64_t seed = 1;
  int processes = 0;  ///< side by side; 0: as many as cores
  bool quiet = false;
};

/// What came of one draw.
struct OddsRow {
  int draw = 0;  ///< from 1
  RunStatus status = RunStatus::planned;
  std::string message;  ///< why it has no numbers
  std::vector<double>
      numbers;  ///< of each plan those that Odds::number knows, then 1 where it is under-cured
};

struct Odds {
  std::string first, second;  ///< names of the plans
  std::string mode;           ///< as in a summary
  std::string coarse;         ///< what coarse_mesh_sentence says of either mesh; "" where fine enough
  double element_size = 0;    ///< along the bond [mm]
  std::string sum;            ///< equal for odds whose rows can be put together
  std::uint64_t seed = 1;
  int asked = 0;  ///< draws
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

/// Draws, and solves what `before` (rows of an earlier call with the same `sum`) does not have. Ctrl-C ends
/// it with the rows that there are. Draws that cannot be built or solved are rows with a message. Throws
/// CaseError where the two cases cannot be drawn alike; as pose().
Odds find_odds(const Case& first, const Case& second, const OddsSettings& settings,
               const std::function<std::vector<OddsRow>(const Odds& so_far)>& before);

}  // namespace setstress
