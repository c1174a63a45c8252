#include "viz/surface/plane_cut.hpp"

#include <fmt/core.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <limits>
#include <stdexcept>

namespace setstress {
namespace {

constexpr std::array<std::array<std::size_t, 3>, 4> faces{{{0, 1, 2}, {0, 1, 3}, {1, 2, 3}, {0, 2, 3}}};

/// Heights of nodes above the plane; nodes on the plane count as above it.
class Heights {
 public:
  Heights(const VolumeCells& volume, int axis, double position)
      : volume_(volume), axis_(axis), position_(position) {}
  [[nodiscard]] double of(int node) const {
    return volume_.points[static_cast<std::size_t>(node)](axis_) - position_;
  }
  [[nodiscard]] bool above(int node) const { return of(node) >= 0; }
  [[nodiscard]] CutCorner between(int a, int b) const { return {{a, b}, of(a) / (of(a) - of(b))}; }

 private:
  const VolumeCells& volume_;
  int axis_;
  double position_;
};

/// One or two triangles where the plane passes through tetrahedron `t`.
void cut_tetrahedron(const VolumeCells& volume, std::size_t t, const Heights& heights, PlaneCut& result) {
  std::vector<int> up, down;
  for (std::size_t c = 0; c < 4; ++c) {
    const int node = volume.tetrahedra[t][c];
    (heights.above(node) ? up : down).push_back(node);
  }
  if (up.size() > down.size()) std::swap(up, down);
  if (up.empty()) return;
  if (up.size() == 1) {
    result.triangles.push_back(
        {{heights.between(up[0], down[0]), heights.between(up[0], down[1]), heights.between(up[0], down[2])},
         t});
    return;
  }
  const CutCorner a = heights.between(up[0], down[0]), b = heights.between(up[0], down[1]);
  const CutCorner c = heights.between(up[1], down[1]), d = heights.between(up[1], down[0]);
  result.triangles.push_back({{a, b, c}, t});
  result.triangles.push_back({{a, c, d}, t});
}

/// Faces at which a region ends, in a fixed order.
std::vector<std::array<int, 3>> boundary_faces(const VolumeCells& volume) {
  const Eigen::MatrixXd& region = volume.of_cells.at("region");
  std::map<std::pair<int, std::array<int, 3>>, int> count;  // by region and sorted corners
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t)
    for (const auto& face : faces) {
      std::array<int, 3> corners{volume.tetrahedra[t][face[0]], volume.tetrahedra[t][face[1]],
                                 volume.tetrahedra[t][face[2]]};
      std::ranges::sort(corners);
      ++count[{static_cast<int>(region(static_cast<Eigen::Index>(t), 0)), corners}];
    }
  std::vector<std::array<int, 3>> boundary;
  for (const auto& [key, times] : count)
    if (times == 1) boundary.push_back(key.second);
  return boundary;
}

void cut_boundary(const VolumeCells& volume, const Heights& heights, PlaneCut& result) {
  for (const std::array<int, 3>& face : boundary_faces(volume)) {
    std::vector<CutCorner> crossings;
    for (std::size_t a = 0; a < 3; ++a) {
      const int from = face[a], to = face[(a + 1) % 3];
      if (heights.above(from) != heights.above(to)) crossings.push_back(heights.between(from, to));
    }
    if (crossings.size() == 2) result.lines.push_back({{crossings[0], crossings[1]}});
  }
}

}  // namespace

PlaneCut cut(const VolumeCells& volume, int axis, double position) {
  if (axis < 0 || axis > 2)
    throw std::invalid_argument(
        fmt::format("a cut is normal to axis 0 (x), 1 (y) or 2 (z); {} is none of them", axis));
  PlaneCut result{.axis = axis, .position = position, .triangles = {}, .lines = {}};
  const Heights heights(volume, axis, position);
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t) cut_tetrahedron(volume, t, heights, result);
  cut_boundary(volume, heights, result);
  if (result.triangles.empty()) {
    const auto along = [axis](const Eigen::Vector3d& point) { return point(axis); };
    const auto [low, high] = std::ranges::minmax(volume.points, {}, along);
    throw std::invalid_argument(
        fmt::format("a cut at {} = {} mm misses the tooth; it reaches from {:.3g} to {:.3g} mm", "xyz"[axis],
                    position, low(axis), high(axis)));
  }
  return result;
}

double middle_of_filling(const VolumeCells& volume, int axis) {
  const Eigen::MatrixXd& increment = volume.of_cells.at("increment");
  const bool filled = increment.maxCoeff() > 0;
  double low = std::numeric_limits<double>::max(), high = std::numeric_limits<double>::lowest();
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t) {
    if (filled && increment(static_cast<Eigen::Index>(t), 0) == 0) continue;
    for (std::size_t c = 0; c < 4; ++c) {
      const double at = volume.points[static_cast<std::size_t>(volume.tetrahedra[t][c])](axis);
      low = std::min(low, at);
      high = std::max(high, at);
    }
  }
  return (low + high) / 2;
}

RegionNodeValues smooth_by_region(const VolumeCells& volume, const Eigen::VectorXd& cell_values) {
  const Eigen::MatrixXd& region = volume.of_cells.at("region");
  RegionNodeValues sums, weights;
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t) {
    const auto corner = [&](std::size_t c) {
      return volume.points[static_cast<std::size_t>(volume.tetrahedra[t][c])];
    };
    const double size =
        std::abs((corner(1) - corner(0)).cross(corner(2) - corner(0)).dot(corner(3) - corner(0))) / 6;
    const auto row = static_cast<Eigen::Index>(t);
    for (std::size_t c = 0; c < 4; ++c) {
      const std::pair<int, int> key{static_cast<int>(region(row, 0)), volume.tetrahedra[t][c]};
      sums[key] += size * cell_values(row);
      weights[key] += size;
    }
  }
  for (auto& [key, sum] : sums) sum /= weights.at(key);
  return sums;
}

}  // namespace setstress
