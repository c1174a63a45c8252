#pragma once
// Private to viz/: the body of a result as a page shows it.

#include "viz/page/page_result.hpp"

namespace setstress::viz {

/// Follows the volume files of one result, which hold only what has been placed, on the points of the whole.
class PageBody {
 public:
  /// `whole`: the volume in which most has been placed.
  explicit PageBody(VolumeCells whole);

  /// Regions, points, triangles and tetrahedra.
  void describe(PageResult& page) const;
  /// Regions placed in `volume`; throws std::runtime_error where it is not a part of the whole.
  [[nodiscard]] std::vector<char> placed(const VolumeCells& volume) const;
  /// Displacement [mm], 3 a point; zero for what is not placed.
  [[nodiscard]] std::vector<float> displacement(const VolumeCells& volume,
                                                const std::vector<char>& placed) const;
  /// First component of a field of cells, averaged by volume over the tetrahedra of one region that meet at a
  /// point; zero for what is not placed.
  [[nodiscard]] std::vector<float> average(const VolumeCells& volume, const std::vector<char>& placed,
                                           const char* name) const;

 private:
  [[nodiscard]] std::vector<int> numbers_in(const std::vector<char>& placed) const;

  VolumeCells whole_;
  std::vector<int> region_;  ///< by tetrahedron
  std::vector<int> node_of_point_, region_of_point_;
  std::vector<std::array<int, 4>> corners_;  ///< points by tetrahedron
  std::vector<double> volume_;               ///< by tetrahedron [mm3]
};

/// Keeps only the points on the surface: drops tetrahedra, and values of points inside.
void leave_out_interior(PageResult& page);

}  // namespace setstress::viz
