#pragma once
// The coarse level of the two-level solver: first-order tetrahedra on the corner nodes.

#include <Eigen/Core>
#include <array>
#include <memory>
#include <vector>

#include "solver/block_cholesky.hpp"
#include "solver/multifrontal.hpp"
#include "solver/sweep_order.hpp"

namespace setstress {

/// Interpolation P gives a corner node its own value and an edge node the mean of its two corners, component
/// by component; degrees of freedom without couplings (held, unplaced) take no part. The coarse matrix is the
/// Galerkin product P' A P, which is the first-order stiffness of the same mesh with its bond and supports.
class CoarseLevel {
 public:
  CoarseLevel(const NodeGraph& graph, const SweepOrder& order);
  /// Copies what does not depend on values, and refers to the same graph and order.
  CoarseLevel(const CoarseLevel& other);
  CoarseLevel& operator=(const CoarseLevel&) = delete;

  /// Forms and factorises P' A P. Throws NotPositiveDefinite.
  void renew(const BlockMatrix& matrix);
  /// Whether renew() was called and the same degrees of freedom had couplings then as in `matrix` now.
  [[nodiscard]] bool fits(const BlockMatrix& matrix) const;
  /// z += P (P' A P)^-1 P' residual, by places.
  void correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z);
  [[nodiscard]] double factor_operations() const { return analysis_->operations(); }
  [[nodiscard]] std::size_t bytes() const;

 private:
  void build_pattern();
  void decouple_corners();
  void factorise();
  void accumulate_row(const BlockMatrix& matrix, int corner, std::vector<int>& position);
  [[nodiscard]] int corners() const { return static_cast<int>(child_start_.size()) - 1; }

  const NodeGraph* graph_;
  const SweepOrder* order_;
  std::vector<int> node_of_;  ///< by coarse number: the corner node
  std::vector<std::array<int, 2>>
      corner_of_;                         ///< by node: coarse numbers of its parents (equal for a corner)
  std::vector<int> child_start_, child_;  ///< by coarse number: the nodes it interpolates to
  std::vector<std::size_t> row_start_;    ///< coarse pattern
  std::vector<int> column_;
  std::vector<Block> values_;
  std::vector<char> coupled_;         ///< by fine degree of freedom, at the last renewal
  std::vector<char> corner_coupled_;  ///< and by coarse degree of freedom
  std::shared_ptr<const BlockCholesky> analysis_;
  std::shared_ptr<const Multifrontal> multifrontal_;
  std::unique_ptr<BlockCholesky> careful_;  ///< in double precision, once single precision was not enough
  SupernodalFactor factor_;                 ///< of P' A P, for the many solves between renewals
  Eigen::VectorXf right_hand_side_, solution_;
};

/// By degree of freedom: 1 if its row has any non-zero coupling.
std::vector<char> coupled_unknowns(const BlockMatrix& matrix);

}  // namespace setstress
