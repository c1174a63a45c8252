#pragma once
// Gaps of a debonding run: followed frame by frame, in summary.json and gaps.csv.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "solver/gaps/gap_numbers.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Gaps at one instant; their facet points are not kept.
struct GapInstant {
  double time = 0;  ///< [s]
  std::string event;
  std::vector<NumberedGap> gaps;
  std::vector<std::pair<int, GapPocket>> pockets = {};  ///< number of the gap, and the fluid in it
};

/// The gaps of one run.
class GapReport {
 public:
  /// The mesh of `model` must outlive this; `threshold` as GapFinder's way_opening [mm].
  GapReport(const Model& model, double threshold);
  /// Frames in order. Throws std::invalid_argument when sizes disagree with the mesh.
  void add(const Frame& frame);

  /// By bond facet at the latest frame: the number of the gap that holds most of it, 0 where less than half
  /// of it has let go.
  [[nodiscard]] std::vector<int> gap_of_facet() const;

  [[nodiscard]] const std::vector<GapInstant>& instants() const { return instants_; }

  /// What `gaps` in summary.json holds: definitions, gaps at events and at the end, what became of each.
  [[nodiscard]] nlohmann::ordered_json json() const;
  /// One line a time and gap, as comma-separated values with units in the heading.
  [[nodiscard]] std::string table() const;
  static constexpr const char* table_name = "gaps.csv";
  static constexpr const char* heading =
      "time_s,event,gap,where_mm2,area_mm2,volume_nL,widest_um,mean_um,sound_bond_to_margin_mm,throat_um,"
      "open_area_mm2,open_to_margin\n";

 private:
  [[nodiscard]] nlohmann::ordered_json gap_json(const NumberedGap& numbered) const;
  [[nodiscard]] std::string places(const Gap& gap) const;

  std::vector<std::string> walls_;
  std::size_t facets_;
  std::string left_out_;
  GapFinder finder_;
  GapNumbers numbers_;
  std::vector<GapInstant> instants_;
};

}  // namespace setstress
