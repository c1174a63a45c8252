#include "viz/surface/surface_topology.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace setstress::viz {
namespace {

constexpr double places_per_mm = 1e4;  // points closer than 0.1 um are one

std::vector<std::array<int, 3>> weld(const BondSurface& bond) {
  std::map<std::array<long, 3>, int> numbers;
  std::vector<int> place_of;
  for (const Eigen::Vector3d& point : bond.points) {
    const std::array<long, 3> place{std::lround(places_per_mm * point.x()),
                                    std::lround(places_per_mm * point.y()),
                                    std::lround(places_per_mm * point.z())};
    place_of.push_back(numbers.try_emplace(place, static_cast<int>(numbers.size())).first->second);
  }
  std::vector<std::array<int, 3>> corners;
  for (const auto& triangle : bond.triangles) {
    std::array<int, 3>& own = corners.emplace_back();
    for (std::size_t c = 0; c < 3; ++c) own[c] = place_of[static_cast<std::size_t>(triangle[c])];
  }
  return corners;
}

Edge edge_of(const std::array<int, 3>& corners, std::size_t side) {
  return std::minmax({corners[side], corners[(side + 1) % 3]});
}

void number_pieces(const BondSurface& bond, Topology& topology) {
  const Eigen::MatrixXd& wall = bond.cell_field("wall");
  topology.piece.assign(bond.triangles.size(), -1);
  for (std::size_t start = 0; start < bond.triangles.size(); ++start) {
    if (topology.piece[start] >= 0) continue;
    std::vector<std::size_t> open{start};
    topology.piece[start] = topology.pieces;
    while (!open.empty()) {
      const std::size_t here = open.back();
      open.pop_back();
      for (std::size_t side = 0; side < 3; ++side)
        for (const TriangleSide& next : topology.around(here, side)) {
          const bool same_wall =
              wall(static_cast<Eigen::Index>(next.triangle), 0) == wall(static_cast<Eigen::Index>(here), 0);
          if (!same_wall || topology.piece[next.triangle] >= 0) continue;
          topology.piece[next.triangle] = topology.pieces;
          open.push_back(next.triangle);
        }
    }
    ++topology.pieces;
  }
}

}  // namespace

const std::vector<TriangleSide>& Topology::around(std::size_t triangle, std::size_t side) const {
  return edges.at(edge_of(corners[triangle], side));
}

Topology find_topology(const BondSurface& bond) {
  Topology topology;
  topology.corners = weld(bond);
  for (std::size_t t = 0; t < topology.corners.size(); ++t)
    for (std::size_t side = 0; side < 3; ++side)
      topology.edges[edge_of(topology.corners[t], side)].push_back({t, side});
  number_pieces(bond, topology);
  return topology;
}

}  // namespace setstress::viz
