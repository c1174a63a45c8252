#include "mesh/geometry/prepared_surface.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <map>

namespace setstress {
namespace {

/// Which triangles meet along which edge, and which way round each runs along it.
class Edges {
 public:
  struct Use {
    std::size_t triangle;
    bool upwards;  ///< from the corner of the smaller number
  };
  explicit Edges(const PreparedSurface& surface) : surface_(surface) {
    for (std::size_t t = 0; t < surface.triangles.size(); ++t)
      for (std::size_t i = 0; i < 3; ++i) uses_[ends(t, i)].push_back({t, runs_upwards(t, i)});
  }
  /// The triangle across edge `i` of `t`; null where the surface meets itself there.
  [[nodiscard]] const Use* across(std::size_t t, std::size_t i) const {
    const std::vector<Use>& uses = uses_.at(ends(t, i));
    if (uses.size() != 2) return nullptr;
    return uses[0].triangle == t ? &uses[1] : &uses[0];
  }
  [[nodiscard]] bool runs_upwards(std::size_t t, std::size_t i) const {
    return corner(t, i) < corner(t, i + 1);
  }

 private:
  [[nodiscard]] int corner(std::size_t t, std::size_t i) const {
    return surface_.triangles[t].corners[i % 3];
  }
  [[nodiscard]] std::array<int, 2> ends(std::size_t t, std::size_t i) const {
    return {std::min(corner(t, i), corner(t, i + 1)), std::max(corner(t, i), corner(t, i + 1))};
  }
  const PreparedSurface& surface_;
  std::map<std::array<int, 2>, std::vector<Use>> uses_;
};

/// Walks from triangle to triangle; `way` 1: runs as the first one does, -1: against it, 0: not met yet. All
/// that was met, in turn.
std::vector<std::size_t> walked_from(std::size_t first, const Edges& edges, std::vector<int>& way) {
  std::vector<std::size_t> piece{first};
  way[first] = 1;
  for (std::size_t next = 0; next < piece.size(); ++next)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::size_t t = piece[next];
      const Edges::Use* other = edges.across(t, i);
      if (other == nullptr || way[other->triangle] != 0) continue;
      way[other->triangle] = other->upwards == edges.runs_upwards(t, i) ? -way[t] : way[t];
      piece.push_back(other->triangle);
    }
  return piece;
}

}  // namespace

Eigen::Vector3d normal_of(const PreparedSurface& surface, const std::array<int, 3>& corners) {
  const auto at = [&](std::size_t i) { return surface.points[static_cast<std::size_t>(corners[i])]; };
  return (at(1) - at(0)).cross(at(2) - at(0));
}

void orient_outwards(PreparedSurface& surface) {
  const Edges edges(surface);
  std::vector<int> way(surface.triangles.size(), 0);
  for (std::size_t first = 0; first < way.size(); ++first) {
    if (way[first] != 0) continue;
    const std::vector<std::size_t> piece = walked_from(first, edges, way);
    double volume = 0;  // six times
    for (const std::size_t t : piece) {
      const auto& corners = surface.triangles[t].corners;
      volume +=
          way[t] * surface.points[static_cast<std::size_t>(corners[0])].dot(normal_of(surface, corners));
    }
    for (const std::size_t t : piece)
      if ((way[t] < 0) != (volume < 0))
        std::swap(surface.triangles[t].corners[1], surface.triangles[t].corners[2]);
  }
}

}  // namespace setstress
