#pragma once
// The bond averaged over a fixed length. Traction is singular at line angles and margins, so a value at a
// point there depends on the mesh; its average over a fixed area does not. The same step makes strength
// criteria usable at notches: average stress criterion (Whitney and Nuismer, J Compos Mater 8 (1974) 253).

#include <array>
#include <cstddef>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Across the disc that is averaged over [mm]: well below the width of a wall, well above an enamel prism or
/// a dentin tubule. A choice; it is the same for every wall, material and mesh.
inline constexpr double averaging_length = 0.3;

/// Averages over the part of the wall, already placed, within half the averaging length of a point.
struct AveragedPoint {
  double normal = 0;  ///< [MPa], tension positive
  double shear = 0;   ///< magnitude of the mean vector [MPa]
  double ratio = 0;   ///< of the mean normal and shear traction, each over its strength [-]; where the bond
                      ///< has begun to soften its own ratio, at least 1
};

/// The same of the whole bond, six a facet; zero where nothing has been placed.
struct AveragedTractions {
  std::vector<double> normal, shear;  ///< [MPa]
};

/// Who is averaged with whom, found once for all instants of a mesh. The same bits on any number of threads;
/// throws std::invalid_argument when the sizes of mesh and frame disagree.
class BondAverage {
 public:
  explicit BondAverage(const Mesh& mesh);
  [[nodiscard]] AveragedTractions tractions(const Frame& frame) const;
  /// AveragedPoint::ratio, six a facet: all that today's strengths decide.
  [[nodiscard]] std::vector<double> ratios(const Frame& frame) const;
  /// That a point stands for [mm2]; six a facet.
  [[nodiscard]] const std::vector<double>& areas() const { return areas_; }
  /// How many points of the wall, itself included, a point is averaged over; six a facet.
  [[nodiscard]] std::size_t points_near(std::size_t point) const { return first_[point + 1] - first_[point]; }

 private:
  template <typename LoadOf, typename Take>
  void average(const Frame& frame, const LoadOf& load_of, const Take& take) const;

  std::vector<Eigen::Vector3d> normals_;  ///< by facet
  std::vector<double> areas_;
  std::vector<std::size_t> first_;  ///< of a point's neighbours in `neighbours_`; one more than points
  std::vector<int> neighbours_;     ///< points within the radius on the same wall, itself included
};

/// One instant, by bond facet and facet point; zero where nothing has been placed. Throws as BondAverage.
std::vector<std::array<AveragedPoint, 6>> averaged_bond(const Mesh& mesh, const Frame& frame);

}  // namespace setstress
