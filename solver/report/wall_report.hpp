#pragma once
// The bond of one instant in numbers: by wall, by substrate and as a whole, weighted by area. Peaks at
// re-entrant line angles grow with mesh refinement for ever, so means, percentiles and area fractions are
// reported, never a maximum of stress; percentiles and fractions are those of values averaged over a fixed
// length (averaged_bond.hpp), means those of the values themselves.

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "materials/tissue.hpp"
#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"
#include "solver/report/averaged_bond.hpp"
#include "solver/report/weakest_links.hpp"

namespace setstress {

/// Area-weighted mean, and 95th percentile of the averaged values.
struct MeanAndP95 {
  double mean, p95;
};

/// A part of the bond at one instant. Only what has been placed counts; NaN in all but `area` and
/// `placed_area` where nothing has been.
struct BondStatistics {
  double area = 0;               ///< of this part of the bond, placed or not [mm2]
  double placed_area = 0;        ///< [mm2]
  double averaging_points = 0;   ///< facet points that one is averaged over, mean by area, placed or not [-]
  MeanAndP95 normal_traction;    ///< [MPa], tension positive
  MeanAndP95 shear_traction;     ///< [MPa]
  MeanAndP95 ratio;              ///< stress to strength [-]; 1: strength reached
  double share_above_one;        ///< area fraction whose averaged ratio has reached 1, or that softens [-]
  double share_debonded;         ///< area fraction [-]
  double share_softened;         ///< area fraction that has begun to lose strength, debonded or not [-]
  double mean_strength_lost;     ///< [-]; 1 is debonded
  double largest_gap, mean_gap;  ///< opening where debonded, 0 elsewhere [mm]
  double gap_volume;             ///< [mm3]
  double conversion_mean;        ///< relative, of the filling beside it [-]
  double conversion_p05;         ///< that 95 % of the area exceed [-]
  /// That it has started to fail somewhere by now, by weakest_links.hpp [-]; NaN where that is not known.
  double chance_started = std::numeric_limits<double>::quiet_NaN();
  /// Whether all of this part has been placed.
  [[nodiscard]] bool is_whole() const { return area > 0 && placed_area >= (1 - 1e-9) * area; }
  /// A share or mean over what has been placed, as one of the whole part: nothing counts where nothing is
  /// placed.
  [[nodiscard]] double of_whole(double of_placed) const {
    return of_placed * std::min(1.0, placed_area / area);
  }
};

/// `wall` or `substrate` is empty for "all of them".
struct WallRow {
  std::string wall;
  std::optional<Substrate> substrate;
  BondStatistics statistics;
};

/// Reports the instants of one mesh.
class WallReport {
 public:
  /// `substrates` by bond facet. Throws std::invalid_argument when sizes disagree.
  WallReport(const Mesh& mesh, const std::vector<Substrate>& substrates);
  /// One row for each wall and substrate that meet, each wall, each substrate, and the whole bond (last).
  /// Rows and their order depend on mesh and substrates alone, so they can be followed over time. With
  /// `links`, of the same mesh, which sees every frame of a run, in order, also the chances that parts have
  /// started to fail. Throws std::invalid_argument when sizes disagree.
  [[nodiscard]] std::vector<WallRow> of(const Frame& frame, WeakestLinks* links = nullptr) const;
  /// The same of a bond that holds, where all but its strengths is as it was when it was told in `rows`.
  [[nodiscard]] std::vector<WallRow> judged(const Frame& frame, std::vector<WallRow> rows,
                                            WeakestLinks* links = nullptr) const;
  /// BondStatistics::averaging_points of the wall that has fewest; infinite for no wall.
  [[nodiscard]] double fewest_averaging_points() const;

 private:
  struct Part {
    std::string wall;
    std::optional<Substrate> substrate;
    std::vector<std::size_t> facets;
    double area = 0, averaging_points = 0;  ///< as in BondStatistics
  };
  using Rows = std::vector<WallRow>;
  void describe(Part& part) const;
  template <typename See>
  void for_placed(const Frame& frame, const Part& part, const See& see) const;
  template <typename ValueOf>
  [[nodiscard]] double mean(const Frame& frame, const Part& part, const ValueOf& value_of) const;
  [[nodiscard]] std::vector<double> percentiles(const Frame& frame, const std::vector<double>& values,
                                                double share) const;
  [[nodiscard]] Rows laid_out(const Frame& frame) const;
  void tell_tractions(const Frame& frame, Rows& rows) const;
  void tell_ratios(const Frame& frame, WeakestLinks* links, Rows& rows) const;
  void tell_losses(const Frame& frame, Rows& rows) const;
  void tell_conversion(const Frame& frame, Rows& rows) const;

  BondAverage average_;
  std::vector<Part> parts_;
  std::vector<std::vector<std::size_t>> parts_of_;  ///< by facet
};

/// The same for one instant.
std::vector<WallRow> wall_report(const Mesh& mesh, const std::vector<Substrate>& substrates,
                                 const Frame& frame);

}  // namespace setstress
