#pragma once
// Where each group's blocks go in a BlockMatrix, and an order in which threads may add them without
// colliding.

#include <Eigen/Core>
#include <cstddef>
#include <vector>

#include "solver/linear/matrix/block_matrix.hpp"

namespace setstress {

/// Groups are cut into runs of neighbours and the runs coloured so that two runs of one colour share no node.
/// Threads take the runs of one colour; so nothing collides and every sum is formed in the same order on any
/// number of threads.
class AssemblyMap {
 public:
  /// Keeps copies of what it needs. All nodes of a group must couple in `graph` (std::out_of_range).
  AssemblyMap(const NodeGraph& graph, const NodeGroups& groups);

  /// Calls work(group) once for every group, in parallel. `work` may add to anything that belongs to the
  /// group's nodes: a matrix (through `add`) and nodal vectors. It must not throw.
  template <typename Work>
  void for_each(const Work& work) const {
#pragma omp parallel if (run_start_.size() > 8)
    for (std::size_t colour = 0; colour + 1 < colour_start_.size(); ++colour) {
      const auto first = static_cast<std::ptrdiff_t>(colour_start_[colour]);
      const auto last = static_cast<std::ptrdiff_t>(colour_start_[colour + 1]);
#pragma omp for schedule(dynamic, 1)
      for (std::ptrdiff_t run = first; run < last; ++run)
        for (std::size_t k = run_start_[static_cast<std::size_t>(run)];
             k < run_start_[static_cast<std::size_t>(run) + 1]; ++k)
          work(order_[k]);
    }
  }

  /// Adds the group's square matrix (3 rows a node, in the group's node order) to the blocks it belongs to.
  template <typename Derived>
  void add(BlockMatrix& matrix, int group, const Eigen::MatrixBase<Derived>& element) const {
    const int* position = position_.data() + position_start_[static_cast<std::size_t>(group)];
    const Eigen::Index nodes = element.rows() / 3;
    for (Eigen::Index i = 0; i < nodes; ++i)
      for (Eigen::Index j = 0; j < nodes; ++j)
        matrix.values[static_cast<std::size_t>(*position++)] += element.template block<3, 3>(3 * i, 3 * j);
  }

 private:
  std::vector<std::size_t> colour_start_;    ///< by colour: first run
  std::vector<std::size_t> run_start_;       ///< by run: first place in order_
  std::vector<int> order_;                   ///< groups
  std::vector<std::size_t> position_start_;  ///< by group: first place in position_
  std::vector<int> position_;                ///< of block (i, j) of a group, row by row
};

}  // namespace setstress
