#include "mesh/tetrahedra/ray.hpp"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double round_off = 1e-9;       ///< of barycentric coordinates and unit lengths
constexpr int longest_standstill = 200;  ///< steps without advance; more tetrahedra than meet at any corner
constexpr int attempts = 8;

/// Barycentric coordinates along a ray: at(s) = start + s * rate.
struct Barycentric {
  Eigen::Vector4d start, rate;
};

Barycentric barycentric(const Mesh& mesh, int tetrahedron, const Eigen::Vector3d& origin,
                        const Eigen::Vector3d& direction) {
  const auto& nodes = mesh.tetrahedra[static_cast<size_t>(tetrahedron)].nodes;
  const auto corner = [&](int i) -> const Eigen::Vector3d& {
    return mesh.nodes[static_cast<size_t>(nodes[static_cast<size_t>(i)])];
  };
  Barycentric along;
  for (int i = 0; i < 4; ++i) {
    const auto& [a, b, c] = face_opposite[static_cast<size_t>(i)];
    const Eigen::Vector3d inward = (corner(c) - corner(a)).cross(corner(b) - corner(a));
    const double height = inward.dot(corner(i) - corner(a));
    along.start(i) = inward.dot(origin - corner(a)) / height;
    along.rate(i) = inward.dot(direction) / height;
  }
  return along;
}

/// The face through which a ray leaves, and the distance from the origin [mm] at which it does.
struct Exit {
  int face = -1;
  double distance = std::numeric_limits<double>::infinity();
};

Exit exit_of(const Barycentric& along) {
  Exit exit;
  for (int i = 0; i < 4; ++i) {
    if (along.rate(i) >= 0) continue;
    const double distance = -along.start(i) / along.rate(i);
    if (distance < exit.distance) exit = {i, distance};
  }
  return exit;
}

/// The path by region, or nothing where the walk stands still among elements around an edge or corner.
std::optional<RayPath> try_walk(const Mesh& mesh, const std::vector<FaceNeighbours>& neighbours,
                                int tetrahedron, const Eigen::Vector3d& origin,
                                const Eigen::Vector3d& direction) {
  RayPath path{std::vector<double>(mesh.regions.size(), 0.0), std::vector<double>(mesh.regions.size(), 0.0)};
  double travelled = 0;
  int standstill = 0;
  while (tetrahedron != FaceNeighbours::outside) {
    const Exit exit = exit_of(barycentric(mesh, tetrahedron, origin, direction));
    if (exit.face < 0) return std::nullopt;
    const double advance = std::max(exit.distance - travelled, 0.0);
    standstill = advance > 0 ? 0 : standstill + 1;
    if (standstill > longest_standstill) return std::nullopt;
    const auto region = static_cast<size_t>(mesh.tetrahedra[static_cast<size_t>(tetrahedron)].region);
    path.lengths[region] += advance;
    travelled += advance;
    if (advance > 0) path.ends[region] = travelled;
    tetrahedron = neighbours[static_cast<size_t>(tetrahedron)].across[static_cast<size_t>(exit.face)];
  }
  return path;
}

void require_ray(const Mesh& mesh, int tetrahedron, const Eigen::Vector3d& origin,
                 const Eigen::Vector3d& direction) {
  if (!(std::abs(direction.norm() - 1) < round_off))
    throw std::invalid_argument(
        fmt::format("the direction of a ray has length {}; must be 1", direction.norm()));
  const Eigen::Vector4d inside = barycentric(mesh, tetrahedron, origin, direction).start;
  if (!(inside.minCoeff() > -round_off))
    throw std::invalid_argument(fmt::format("the ray from ({}, {}, {}) mm does not start in tetrahedron {}",
                                            origin.x(), origin.y(), origin.z(), tetrahedron));
}

}  // namespace

RayPath RayWalker::path(int tetrahedron, const Eigen::Vector3d& origin,
                        const Eigen::Vector3d& direction) const {
  require_ray(mesh_, tetrahedron, origin, direction);
  const auto& nodes = mesh_.tetrahedra[static_cast<size_t>(tetrahedron)].nodes;
  for (int attempt = 0; attempt < attempts; ++attempt) {
    const Eigen::Vector3d aside =  // towards the corners in turn, so that no plane through the ray holds all
        mesh_.nodes[static_cast<size_t>(nodes[static_cast<size_t>(attempt % 4)])] - origin;
    const Eigen::Vector3d start = origin + 1e-6 * attempt * aside;
    if (auto path = try_walk(mesh_, neighbours_, tetrahedron, start, direction)) return *path;
  }
  throw std::runtime_error(
      fmt::format("the ray from ({}, {}, {}) mm along ({}, {}, {}) does not leave the mesh", origin.x(),
                  origin.y(), origin.z(), direction.x(), direction.y(), direction.z()));
}

}  // namespace setstress
