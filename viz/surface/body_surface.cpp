#include "viz/surface/body_surface.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

namespace setstress::viz {
namespace {

using Eigen::Vector3d;

/// Outward for a tetrahedron whose fourth corner lies above the first three.
constexpr std::array<std::array<std::size_t, 3>, 4> faces{{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}}};
constexpr double sharp = 0.85;  ///< cosine of the angle between neighbouring faces

struct Face {
  std::array<int, 3> corners;
  int region;
  int count;
};

std::map<std::array<int, 3>, Face> all_faces(const VolumeCells& volume) {
  const Eigen::MatrixXd& region = volume.of_cells.at("region");
  std::map<std::array<int, 3>, Face> found;  // by sorted corners
  for (std::size_t t = 0; t < volume.tetrahedra.size(); ++t)
    for (const auto& face : faces) {
      const auto& tetrahedron = volume.tetrahedra[t];
      const std::array<int, 3> corners{tetrahedron[face[0]], tetrahedron[face[1]], tetrahedron[face[2]]};
      std::array<int, 3> key = corners;
      std::ranges::sort(key);
      const int own = static_cast<int>(region(static_cast<Eigen::Index>(t), 0));
      ++found.try_emplace(key, Face{corners, own, 0}).first->second.count;
    }
  return found;
}

}  // namespace

BodySurface surface_of(const VolumeCells& volume) {
  BodySurface surface;
  std::map<std::array<int, 2>, std::vector<std::pair<Vector3d, int>>>
      beside;  // normals and regions at an edge
  for (const auto& [key, face] : all_faces(volume)) {
    if (face.count != 1) continue;
    surface.triangles.push_back(face.corners);
    const auto corner = [&volume, &corners = face.corners](std::size_t c) {
      return volume.points[static_cast<std::size_t>(corners[c])];
    };
    const Vector3d normal = (corner(1) - corner(0)).cross(corner(2) - corner(0)).normalized();
    for (std::size_t c = 0; c < 3; ++c) {
      const auto [low, high] = std::minmax(face.corners[c], face.corners[(c + 1) % 3]);
      beside[{low, high}].emplace_back(normal, face.region);
    }
  }
  for (const auto& [edge, sides] : beside) {
    const bool turns = sides.size() != 2 || sides[0].first.dot(sides[1].first) < sharp;
    if (turns || sides[0].second != sides[1].second) surface.edges.push_back(edge);
  }
  return surface;
}

}  // namespace setstress::viz
