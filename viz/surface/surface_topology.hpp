#pragma once
// Private to viz/: which triangles of the bond meet at which edge, across the doubled points between walls.

#include <map>
#include <utility>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress::viz {

using Edge = std::pair<int, int>;  ///< corners, the smaller first

/// One side of one triangle: from corner `side` to the next.
struct TriangleSide {
  std::size_t triangle;
  std::size_t side;
};

struct Topology {
  std::vector<std::array<int, 3>> corners;          ///< by triangle; points at one place count once
  std::map<Edge, std::vector<TriangleSide>> edges;  ///< in a fixed order
  std::vector<int> piece;                           ///< by triangle: connected part of one wall
  int pieces = 0;
  [[nodiscard]] const std::vector<TriangleSide>& around(std::size_t triangle, std::size_t side) const;
};

Topology find_topology(const BondSurface& bond);

}  // namespace setstress::viz
