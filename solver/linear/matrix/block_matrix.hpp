#pragma once
// Symmetric sparse matrix of 3 x 3 node blocks on the pattern of a mesh: what elements are assembled into and
// what the linear solvers take.

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace setstress {

/// Lists of nodes that all couple with each other (10 for a tetrahedron, 12 for a bond facet, 6 for a
/// foundation facet), stored one after the other.
struct NodeGroups {
  std::vector<std::size_t> start{0};
  std::vector<int> node;

  void add(std::span<const int> nodes) {
    node.insert(node.end(), nodes.begin(), nodes.end());
    start.push_back(node.size());
  }
  [[nodiscard]] int size() const { return static_cast<int>(start.size()) - 1; }
  [[nodiscard]] std::span<const int> operator[](int group) const {
    const auto g = static_cast<std::size_t>(group);
    return std::span<const int>(node).subspan(start[g], start[g + 1] - start[g]);
  }
};

/// Which nodes share a group, plus what the two-level solver needs to know of second order. Built once per
/// mesh.
struct NodeGraph {
  int nodes = 0;
  std::vector<Eigen::Vector3d> coordinates;  ///< by node [mm]
  /// For an edge node its two corner nodes; {itself, itself} for a corner node, and for an edge node that the
  /// coarse level keeps.
  std::vector<std::array<int, 2>> parents;
  std::vector<std::size_t> row_start;  ///< nodes + 1 entries; full (both triangles) rows, columns ascending
  std::vector<int> column;
  /// Position in `column` of block (row, col); throws std::out_of_range if the pattern lacks it.
  [[nodiscard]] std::size_t position(int row, int col) const;
};

/// Builds the graph of all groups together; every node couples with itself. `coordinates` and `parents` as
/// above. Throws std::invalid_argument for node numbers out of range.
NodeGraph make_node_graph(std::vector<Eigen::Vector3d> coordinates, std::span<const NodeGroups> groups,
                          std::vector<std::array<int, 2>> parents);

using Block = Eigen::Matrix3d;

/// Values on a NodeGraph, which must outlive it. Symmetric: block (i, j) is the transpose of block (j, i);
/// both are stored.
struct BlockMatrix {
  const NodeGraph* graph = nullptr;
  std::vector<Block> values;  ///< by position in graph->column

  explicit BlockMatrix(const NodeGraph& graph_)
      : graph(&graph_), values(graph_.column.size(), Block::Zero()) {}
};

/// Nodes that belong to any of the groups, ascending.
std::vector<int> nodes_in(std::span<const NodeGroups> groups);

/// to = from in the rows of `nodes`, threaded: one thread does not fill the memory's bandwidth. Both have the
/// same graph.
void copy_rows(const BlockMatrix& from, std::span<const int> nodes, BlockMatrix& to);

/// y = A x, threaded over rows; the result does not depend on the number of threads.
void multiply(const BlockMatrix& matrix, const Eigen::VectorXd& x, Eigen::VectorXd& y);
/// The same for a matrix whose rows are zero but for those of `nodes`.
void multiply(const BlockMatrix& matrix, std::span<const int> nodes, const Eigen::VectorXd& x,
              Eigen::VectorXd& y);

/// The same for many vectors: the matrix comes from memory once for all of them. Each product has the bits
/// that it has alone.
void multiply(const BlockMatrix& matrix, std::span<const int> nodes, std::span<const Eigen::VectorXd> x,
              std::span<Eigen::VectorXd* const> y);

/// Takes degrees of freedom out of the system: their couplings become zero and their diagonal entry
/// `diagonal` (> 0), so that the right-hand side there is diagonal times the value wanted. `held` has 3
/// entries a node.
void decouple(BlockMatrix& matrix, const std::vector<char>& held, double diagonal);
/// In the rows of `nodes` alone: enough where all others have been decoupled and are as they were.
void decouple(BlockMatrix& matrix, std::span<const int> nodes, const std::vector<char>& held,
              double diagonal);

/// What the residual of a solution rounded to double precision amounts to: |A| |x| in its last digits.
[[nodiscard]] double round_off(const BlockMatrix& matrix, const Eigen::VectorXd& x);

}  // namespace setstress
