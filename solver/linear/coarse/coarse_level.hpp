#pragma once
// The coarse level of the two-level solver: first-order tetrahedra on the corner nodes.

#include <Eigen/Core>
#include <array>
#include <memory>
#include <vector>

#include "solver/linear/coarse/coarse_factor.hpp"
#include "solver/linear/coarse/corner_cycle.hpp"
#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Interpolation P gives a corner node its own value and an edge node the mean of its two corners, component
/// by component; degrees of freedom without couplings (held, unplaced) take no part. The coarse matrix is the
/// Galerkin product P' A P, which is the first-order stiffness of the same mesh with its bond and supports.
/// Edge nodes that are their own parents (coarse_parents) count as corners here.
/// It is factorised, or, where there are more corners than a factor is worth, solved nearly (corner_cycle).
class CoarseLevel {
 public:
  /// A factorisation grows with the square of the corners, cycles in proportion; on two threads they cost
  /// about the same here.
  static constexpr int corners_worth_a_factor = 15'000;

  CoarseLevel(const NodeGraph& graph, const SweepOrder& order, int most_factorised = corners_worth_a_factor);
  /// Copies what does not depend on values, and refers to the same graph and order.
  CoarseLevel(const CoarseLevel& other);
  CoarseLevel& operator=(const CoarseLevel&) = delete;

  /// Forms P' A P and prepares to solve with it. Throws NotPositiveDefinite.
  void renew(const BlockMatrix& matrix);
  /// Whether renew() was called and the same degrees of freedom had couplings then as in `matrix` now.
  [[nodiscard]] bool fits(const BlockMatrix& matrix) const;
  /// z += P (P' A P)^-1 P' residual, by places.
  void correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z);
  [[nodiscard]] bool is_exact() const { return factor_ != nullptr; }
  /// Of the last renewal; only where is_exact(). Unknowns by coarse number.
  [[nodiscard]] const SupernodalFactor& factor() const { return factor_->factor(); }
  [[nodiscard]] int corners() const { return static_cast<int>(node_of_.size()); }
  /// By node: coarse numbers of its parents (equal for a corner).
  [[nodiscard]] const std::vector<std::array<int, 2>>& parents() const { return corner_of_; }
  /// From the next renewal on, which must come first, whatever the number of corners.
  void solve_exactly();
  [[nodiscard]] double renewal_operations() const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  [[nodiscard]] NodeGraph couple_corners() const;
  [[nodiscard]] std::vector<std::array<int, 2>> edges() const;
  [[nodiscard]] BlockPattern pattern() const;
  void decouple_corners();
  void accumulate_row(const BlockMatrix& matrix, int corner, std::vector<int>& position);
  [[nodiscard]] int child_node(int k) const {
    return order_->node_at[static_cast<std::size_t>(child_[static_cast<std::size_t>(k)])];
  }

  const NodeGraph* graph_;
  const SweepOrder* order_;
  std::vector<int> node_of_;  ///< by coarse number: the corner node
  std::vector<std::array<int, 2>>
      corner_of_;                 ///< by node: coarse numbers of its parents (equal for a corner)
  std::vector<int> child_start_;  ///< by coarse number: first place in child_
  std::vector<int> child_;        ///< places of the nodes it interpolates to, itself first
  std::shared_ptr<const NodeGraph> corner_graph_;
  std::unique_ptr<BlockMatrix> matrix_;  ///< P' A P
  std::vector<char> coupled_;            ///< by fine degree of freedom, at the last renewal
  std::vector<char> corner_coupled_;     ///< and by coarse degree of freedom
  Eigen::VectorXf free_;                 ///< by places: 1 where coupled, else 0
  // One of the two:
  std::unique_ptr<CoarseFactor> factor_;
  std::unique_ptr<CornerCycle> cycle_;
  Eigen::VectorXf right_hand_side_, solution_;
};

/// By degree of freedom: 1 if its row has any non-zero coupling.
std::vector<char> coupled_unknowns(const BlockMatrix& matrix);

}  // namespace setstress
