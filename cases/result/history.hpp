#pragma once
// What a run has been through, in numbers: one entry a step.

#include <optional>
#include <string>
#include <vector>

#include "cases/result/readings.hpp"
#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"
#include "solver/report/bite_report.hpp"
#include "solver/report/cure_report.hpp"
#include "solver/report/stress_report.hpp"
#include "solver/report/wall_report.hpp"

namespace setstress {

struct HistoryEntry {
  double time;        ///< [s] since the bond was cured
  std::string event;  ///< "light off", ... or empty
  std::vector<WallRow> rows;
  std::optional<CuspDeflection> cusps;
  std::vector<TensileStress> tensile;  ///< at events only
  Energies energies;
  std::vector<Eigen::Vector3d> reactions;  ///< on the body, by entry of Model::fixed [N]
  std::vector<IncrementCure> cure;         ///< by increment
  Readings readings = {};                  ///< of instruments
  std::optional<BiteReading> bite = {};    ///< from the first bite on
  std::vector<int> gap_of_facet = {};      ///< GapReport::gap_of_facet, while its step is watched
};
using History = std::vector<HistoryEntry>;

/// What judges the frames of a run: reports of the model's mesh, substrates and plan; instruments and links
/// see every frame, in order.
struct RunObservers {
  const WallReport& walls;
  const CureReport& cure;
  const CuspReport& cusps;
  Instruments& instruments;
  WeakestLinks* links = nullptr;  ///< null: chances are not told
};
HistoryEntry history_entry(const Model& model, const RunObservers& observers, const Frame& frame);

/// How bad a part of the bond is: first the area that has reached its strength [mm2], then the 95th
/// percentile of the stress-to-strength ratio [-]. Nothing placed is (0, 0).
std::pair<double, double> badness(const BondStatistics& statistics);

/// Position in `history` at which row `row` is worst, the earliest where several tie. Throws
/// std::invalid_argument for an empty history.
std::size_t worst_instant(const History& history, std::size_t row);

/// Position in `history` of the highest 95th percentile of the stress-to-strength ratio of row `row` among
/// the instants at which all of that part is placed, the earliest where several tie; empty where it never is.
std::optional<std::size_t> highest_ratio(const History& history, std::size_t row);

/// The same of its mean: what a mesh too coarse for percentiles can give as well.
std::optional<std::size_t> highest_mean_ratio(const History& history, std::size_t row);

/// As highest_ratio among the instants at which only some of it is placed; empty where it is not higher than
/// highest_ratio is.
std::optional<std::size_t> higher_while_part_filled(const History& history, std::size_t row);

/// One line a time, wall and substrate ("all" for all of them), as comma-separated values with units in the
/// heading.
std::string walls_table(const History& history);

/// One line a time, as comma-separated values with units in the heading.
std::string energies_table(const History& history);

/// One line a time: what instruments read; `area` of the plates' bond [mm2].
std::string readings_table(const History& history, double area);

/// One line a time and hold: the force with which it acts on the body.
std::string holds_table(const Model& model, const History& history);

/// Name of a row's wall and substrate, "all" where it stands for all of them.
std::string wall_name(const WallRow& row);
std::string substrate_name(const WallRow& row);

}  // namespace setstress
