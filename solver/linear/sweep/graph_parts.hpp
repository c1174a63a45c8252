#pragma once
// METIS cuts a graph into parts.

#include <metis.h>

#include <vector>

namespace setstress {

/// Couplings of vertices, as METIS takes them: each in both rows, none with itself.
struct PartGraph {
  std::vector<idx_t> start{0};   ///< vertices + 1 entries
  std::vector<idx_t> neighbour;  ///< by coupling
  std::vector<idx_t> weight;     ///< by vertex
};

/// The part of each vertex: about as heavy as one another, few couplings between them. Throws
/// std::runtime_error if METIS fails.
std::vector<int> cut_into_parts(PartGraph graph, int parts);

}  // namespace setstress
