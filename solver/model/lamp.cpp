#include "solver/model/lamp.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <stdexcept>

namespace setstress {
namespace {
constexpr double round_off = 1e-9;  // [mm]
}

double KeptLight::at(double distance) const {
  const auto next = std::find_if(points.begin(), points.end(),
                                 [distance](const auto& point) { return point.first >= distance; });
  if (next == points.begin() && next != points.end()) return next->second;
  if (next != points.end()) {
    const auto& [far, less] = *next;
    const auto& [near, more] = *(next - 1);
    return more + (distance - near) / (far - near) * (less - more);
  }
  if (points.empty() || !(keeps_last || distance <= points.back().first + round_off))
    throw std::out_of_range(
        fmt::format("what is left of the light is not known {:.4g} mm from the tip", distance));
  return points.back().second;
}

double outermost_along(const Mesh& mesh, const Eigen::Vector3d& direction) {
  double least = std::numeric_limits<double>::infinity();
  for (const Eigen::Vector3d& node : mesh.nodes) least = std::min(least, node.dot(direction));
  return least;
}

}  // namespace setstress
