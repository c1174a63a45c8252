#pragma once
// The order in which the two-level solver visits nodes: compact parts of the mesh, coloured.

#include <vector>

#include "solver/block_matrix.hpp"

namespace setstress {

/// A renumbering of the nodes: "place" is the new number. Parts are runs of places that hold neighbouring
/// nodes; parts of one colour do not couple with each other, so threads may sweep them at the same time and
/// the sweep is still an exact Gauss-Seidel sweep in the order of places. Parts depend on the mesh alone,
/// never on the number of threads.
struct SweepOrder {
  std::vector<int> node_at;       ///< by place
  std::vector<int> place_of;      ///< by node
  std::vector<int> part_start;    ///< parts + 1 entries: first place
  std::vector<int> colour_start;  ///< colours + 1 entries: first part

  [[nodiscard]] int parts() const { return static_cast<int>(part_start.size()) - 1; }
  [[nodiscard]] int colours() const { return static_cast<int>(colour_start.size()) - 1; }
  [[nodiscard]] int nodes() const { return static_cast<int>(node_at.size()); }
};

/// METIS cuts the graph into parts of about `nodes_per_part`; within a part nodes go breadth first, so that
/// what a row reads is still in cache. Throws std::runtime_error if METIS fails.
SweepOrder make_sweep_order(const NodeGraph& graph, int nodes_per_part = 1024);

}  // namespace setstress
