#include "viz/radiograph/shadow.hpp"

#include <fmt/core.h>

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace setstress::viz {

namespace {

using Eigen::Index;
using Eigen::Vector2d;
using Eigen::Vector3d;

/// First and last pixel whose centre lies between `low` and `high` [mm].
std::array<Index, 2> centres_between(double low, double high, double corner, double pixel, Index count) {
  const double first = std::ceil((low - corner) / pixel - 0.5),
               last = std::floor((high - corner) / pixel - 0.5);
  return {static_cast<Index>(std::clamp(first, 0.0, static_cast<double>(count))),
          static_cast<Index>(std::clamp(last, -1.0, static_cast<double>(count - 1)))};
}

/// A tetrahedron in the axes of the picture. Its four shares (barycentric coordinates) grow evenly along a
/// ray, which is inside while none is negative.
class RayThrough {
 public:
  RayThrough(const std::array<Vector3d, 4>& corners, const Beam& beam) {
    Eigen::Matrix4d places;
    for (int c = 0; c < 4; ++c) {
      const Vector3d& corner = corners[static_cast<std::size_t>(c)];
      places.col(c) << 1, corner.dot(beam.right), corner.dot(beam.up), corner.dot(beam.along);
    }
    low_ = places.block<2, 4>(1, 0).rowwise().minCoeff();
    high_ = places.block<2, 4>(1, 0).rowwise().maxCoeff();
    shares_ = places.inverse();
  }
  [[nodiscard]] const Vector2d& low() const { return low_; }
  [[nodiscard]] const Vector2d& high() const { return high_; }
  /// [mm]
  [[nodiscard]] double length(double right, double up) const {
    double from = -std::numeric_limits<double>::infinity(), to = -from;
    for (int c = 0; c < 4; ++c) {
      const double start = shares_(c, 0) + shares_(c, 1) * right + shares_(c, 2) * up, slope = shares_(c, 3);
      if (slope > 0)
        from = std::max(from, -start / slope);
      else if (slope < 0)
        to = std::min(to, -start / slope);
      else if (start < 0)
        return 0;
    }
    return std::max(0.0, to - from);
  }

 private:
  Eigen::Matrix4d shares_;
  Vector2d low_, high_;
};

/// Adds `volume` [mm3], or mm of aluminium times mm2, at a place of the picture to the four pixels around it.
void drop(Image& image, const PixelGrid& grid, const Vector2d& place, double volume) {
  const Vector2d at = (place - grid.corner) / grid.pixel - Vector2d(0.5, 0.5);
  const Vector2d whole = at.array().floor();
  const double length = volume / (grid.pixel * grid.pixel);
  for (int down = 0; down < 2; ++down)
    for (int across = 0; across < 2; ++across) {
      const Index column = static_cast<Index>(whole.x()) + across, row = static_cast<Index>(whole.y()) + down;
      if (column < 0 || row < 0 || column >= grid.columns || row >= grid.rows) continue;
      const double weight_x = across == 1 ? at.x() - whole.x() : 1 - at.x() + whole.x();
      const double weight_y = down == 1 ? at.y() - whole.y() : 1 - at.y() + whole.y();
      image(row, column) += weight_x * weight_y * length;
    }
}

/// A prism cut into equal parts no longer than `longest` [mm]: their middles and the share of each in the
/// whole.
std::vector<std::pair<Vector3d, double>> parts_of(const std::array<Vector3d, 3>& corners,
                                                  const Vector3d& high, double longest) {
  double side = 0;
  for (std::size_t c = 0; c < 3; ++c) side = std::max(side, (corners[(c + 1) % 3] - corners[c]).norm());
  const auto cuts = [&](double length) { return std::max(1, static_cast<int>(std::ceil(length / longest))); };
  const int n = cuts(side), layers = cuts(high.norm());
  const Vector3d one = (corners[1] - corners[0]) / n, other = (corners[2] - corners[0]) / n;
  const double share = 1.0 / (static_cast<double>(n) * n * layers);
  std::vector<std::pair<Vector3d, double>> parts;
  for (int layer = 0; layer < layers; ++layer)
    for (int i = 0; i < n; ++i)
      for (int j = 0; i + j < n; ++j) {
        const Vector3d corner = corners[0] + i * one + j * other + (layer + 0.5) / layers * high;
        parts.emplace_back(corner + (one + other) / 3, share);
        if (i + j < n - 1) parts.emplace_back(corner + 2 * (one + other) / 3, share);
      }
  return parts;
}

}  // namespace

Beam beam_from(const std::string& name, double tilt) {
  const double angle = tilt * std::numbers::pi / 180, c = std::cos(angle), s = std::sin(angle);
  if (name == "bitewing") return {{0, c, -s}, {1, 0, 0}, {0, s, c}};
  if (name == "mesio-distal") return {{-c, 0, -s}, {0, 1, 0}, {-s, 0, c}};
  if (name == "occlusal") return {{0, s, -c}, {1, 0, 0}, {0, c, s}};
  throw std::invalid_argument(
      fmt::format("the beam is \"{}\"; must be bitewing, mesio-distal or occlusal", name));
}

PixelGrid grid_around(const std::vector<Vector3d>& points, const Beam& beam, double pixel) {
  Vector2d low = Vector2d::Constant(std::numeric_limits<double>::infinity()), high = -low;
  for (const Vector3d& point : points) {
    const Vector2d place(point.dot(beam.right), point.dot(beam.up));
    low = low.cwiseMin(place);
    high = high.cwiseMax(place);
  }
  const auto count = [&](double length) { return static_cast<Index>(std::ceil(length / pixel)) + 4; };
  return {low - Vector2d::Constant(2 * pixel), pixel, count(high.x() - low.x()), count(high.y() - low.y())};
}

Image lengths_in_region(const VolumeCells& volume, int region, const Beam& beam, const PixelGrid& grid) {
  Image image = Image::Zero(grid.rows, grid.columns);
  const Eigen::MatrixXd& regions = volume.of_cells.at("region");
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t) {
    if (static_cast<int>(regions(static_cast<Index>(t), 0)) != region) continue;
    std::array<Vector3d, 4> corners;
    for (std::size_t c = 0; c < 4; ++c)
      corners[c] = volume.points[static_cast<std::size_t>(volume.tetrahedra[t][c])];
    const RayThrough ray(corners, beam);
    const auto [left, right] =
        centres_between(ray.low().x(), ray.high().x(), grid.corner.x(), grid.pixel, grid.columns);
    const auto [bottom, top] =
        centres_between(ray.low().y(), ray.high().y(), grid.corner.y(), grid.pixel, grid.rows);
    for (Index row = bottom; row <= top; ++row)
      for (Index column = left; column <= right; ++column)
        image(row, column) += ray.length(grid.corner.x() + (static_cast<double>(column) + 0.5) * grid.pixel,
                                         grid.corner.y() + (static_cast<double>(row) + 0.5) * grid.pixel);
  }
  return image;
}

Image sum_over_gaps(const BondSurface& bond, const Eigen::VectorXd& gap, const Eigen::VectorXd& per_length,
                    const Beam& beam, const PixelGrid& grid) {
  Image image = Image::Zero(grid.rows, grid.columns);
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    const auto row = static_cast<Index>(t);
    if (gap(row) <= 0) continue;
    std::array<Vector3d, 3> corners;
    for (std::size_t c = 0; c < 3; ++c)
      corners[c] = bond.points[static_cast<std::size_t>(bond.triangles[t][c])];
    const Vector3d twice_area = (corners[1] - corners[0]).cross(corners[2] - corners[0]);
    const double content = per_length(row) * gap(row) * twice_area.norm() / 2;
    for (const auto& [middle, share] : parts_of(corners, gap(row) * twice_area.normalized(), grid.pixel / 2))
      drop(image, grid, {middle.dot(beam.right), middle.dot(beam.up)}, share * content);
  }
  return image;
}

}  // namespace setstress::viz
