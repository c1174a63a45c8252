#pragma once
// A level below the corner nodes: clusters of them that move as rigid bodies.

#include <Eigen/Core>
#include <array>
#include <optional>
#include <span>
#include <vector>

#include "solver/linear/coarse/coarse_factor.hpp"
#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Six modes for each aggregate, three translations and three rotations (Bulgakov and Kuhn 1995, Int. J.
/// Numer. Methods Eng. 38:3529, from memory). Aggregates are cut along edges of tetrahedra, so none reaches
/// across a bond, however soft it becomes. The matrix is the Galerkin product, factorised.
class RigidAggregates {
 public:
  /// `edges`: pairs of nodes that move together. Graph and order must outlive this.
  RigidAggregates(const NodeGraph& graph, const SweepOrder& order, std::span<const std::array<int, 2>> edges);

  /// `coupled`: by degree of freedom; the others take no part. Throws NotPositiveDefinite.
  void renew(const BlockMatrix& matrix, const std::vector<char>& coupled);
  /// z += M (M' A M)^-1 M' residual, M the modes; by places.
  void correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z);
  [[nodiscard]] int size() const { return static_cast<int>(member_start_.size()) - 1; }
  [[nodiscard]] double renewal_operations() const { return factor_->operations(); }
  [[nodiscard]] std::size_t bytes() const;

 private:
  using Modes = Eigen::Matrix<float, 3, 6>;  ///< of one node

  void find_members(std::span<const std::array<int, 2>> edges);
  void couple();
  void set_modes(int aggregate, const std::vector<char>& coupled);
  void accumulate(const BlockMatrix& matrix, int aggregate, std::vector<int>& position);
  template <typename Work>
  void for_each(const Work& work) const;
  [[nodiscard]] std::span<const int> members(int aggregate) const;

  const NodeGraph* graph_;
  const SweepOrder* order_;
  std::vector<int> aggregate_of_;           ///< by node
  std::vector<int> member_start_, member_;  ///< by aggregate: its nodes
  // Two "nodes" an aggregate, three modes each, so that blocks are 3 x 3:
  std::vector<std::size_t> row_start_{0};
  std::vector<int> column_;
  std::vector<Modes> modes_;  ///< by node
  std::vector<Block> values_;
  std::optional<CoarseFactor> factor_;  ///< always there, once what it is made from is
  Eigen::VectorXf right_hand_side_, solution_;
};

}  // namespace setstress
