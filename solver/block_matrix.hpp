#pragma once
// Symmetric sparse matrix of 3 x 3 node blocks on the pattern of a mesh: what elements are assembled into and what
// the linear solvers take.

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <utility>
#include <vector>

namespace setstress {

/// Which nodes share an element, plus what the two-level solver needs to know of second order. Built once per mesh.
struct NodeGraph {
  int nodes = 0;
  /// For an edge node its two corner nodes; for a corner node {itself, itself}.
  std::vector<std::array<int, 2>> parents;
  std::vector<std::size_t> row_start;  ///< nodes + 1 entries; full (both triangles) rows, columns ascending
  std::vector<int> column;
  /// Position in `column` of block (row, col); throws std::out_of_range if the pattern lacks it.
  [[nodiscard]] std::size_t position(int row, int col) const;
};

/// Builds the graph. Each group is a list of nodes that all couple with each other (10 for a tetrahedron, 12 for a
/// bond facet, 6 for a foundation facet). `parents` as above.
NodeGraph make_node_graph(int nodes, const std::vector<std::vector<int>>& groups,
                          std::vector<std::array<int, 2>> parents);

using Block = Eigen::Matrix3d;

/// Values on a NodeGraph. Symmetric: block (i, j) is the transpose of block (j, i); both are stored.
struct BlockMatrix {
  const NodeGraph* graph = nullptr;
  std::vector<Block> values;  ///< by position in graph->column

  explicit BlockMatrix(const NodeGraph& graph_) : graph(&graph_), values(graph_.column.size(), Block::Zero()) {}
};

/// y = A x, threaded over rows; the result does not depend on the number of threads.
void multiply(const BlockMatrix& matrix, const Eigen::VectorXd& x, Eigen::VectorXd& y);

}  // namespace setstress
