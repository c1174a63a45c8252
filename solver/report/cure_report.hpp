#pragma once
// Cure of each increment in numbers, weighted by volume (the four stress points of a tetrahedron weigh
// alike). Conversion is relative: the share of what the composite can reach. "Top" and "bottom" are means
// over the twentieths of the increment's volume that lie nearest to and farthest from its lamps, measured
// along the light through what is there when the increment is placed; with several lamps, to the nearest.
// Single extreme points are never judged.

#include <limits>
#include <vector>

#include "solver/body/light_paths.hpp"
#include "solver/element/beside_facet.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Mean over the twentieth of an increment's volume nearest to its lamps and over the farthest one.
struct TopAndBottom {
  double top = std::numeric_limits<double>::quiet_NaN(), bottom = std::numeric_limits<double>::quiet_NaN();
  [[nodiscard]] double bottom_over_top() const { return bottom / top; }
};

/// One increment at one instant; NaN for conversions of what has not been placed.
struct IncrementCure {
  int increment = 0;     ///< from 0
  double thickness = 0;  ///< extent along z [mm]
  double depth = 0;      ///< thickness along its light that 95 % of its volume does not exceed [mm]
  bool placed = false;
  double least = std::numeric_limits<double>::quiet_NaN();  ///< [-]
  double p05 = least, mean = least;                         ///< 5th percentile and mean by volume [-]
  TopAndBottom along_light = {};                            ///< [-]
};

/// Reports the instants of one mesh and plan.
class CureReport {
 public:
  /// `light` of the mesh; neither need outlive this.
  CureReport(const Mesh& mesh, const Timeline& timeline, const LightPaths& light);

  /// By increment. `placed` by region. Throws std::invalid_argument when sizes disagree with the mesh.
  [[nodiscard]] std::vector<IncrementCure> of(const std::vector<char>& placed,
                                              const PointValues& conversion) const;
  /// Of any value, in its unit; `increment` from 0.
  [[nodiscard]] TopAndBottom top_and_bottom(int increment, const PointValues& values) const;

 private:
  struct Share {
    std::size_t tetrahedron, point;
    double volume;  ///< [mm3]
  };
  struct Part {
    std::size_t region;
    double thickness, depth;  ///< [mm]
    std::vector<Share> all, top, bottom;
  };
  struct Deep;
  static std::vector<Share> first_twentieth(const std::vector<Deep>& rising);
  static double mean(const std::vector<Share>& shares, const PointValues& values);
  static std::vector<Deep> points_of(const Mesh& mesh, std::size_t region,
                                     const std::vector<Eigen::Vector3d>& directions, const LightPaths& light);
  static Part part_of(const Mesh& mesh, std::size_t region, std::vector<Deep> points);
  std::size_t tetrahedra_;
  std::vector<Part> parts_;  ///< by increment
};

}  // namespace setstress
