#pragma once
// A nearly exact solve on the corner nodes of a large mesh, where a factor would cost too much.

#include <Eigen/Core>
#include <array>
#include <memory>
#include <span>
#include <vector>

#include "solver/linear/coarse/rigid_aggregates.hpp"
#include "solver/linear/sweep/smoother.hpp"
#include "solver/linear/sweep/sweep_matrix.hpp"
#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Two multigrid cycles of sweeps and rigid aggregates, weighted as Chebyshev's polynomial of degree 2 (Golub
/// and Varga 1961, Numer. Math. 3:147, from memory): always the same symmetric positive definite map, so that
/// conjugate gradients may be preconditioned with it.
class CornerCycle {
 public:
  /// `edges`: pairs of corners joined by an edge of a tetrahedron. `corners` must outlive this.
  CornerCycle(const NodeGraph& corners, std::span<const std::array<int, 2>> edges);
  /// Copies what does not depend on values.
  CornerCycle(const CornerCycle& other);
  CornerCycle& operator=(const CornerCycle&) = delete;

  /// `coupled`: by degree of freedom; the others have a diagonal entry alone. Throws NotPositiveDefinite.
  void renew(const BlockMatrix& matrix, const std::vector<char>& coupled);
  /// x := nearly A^-1 b, by nodes.
  void solve(const Eigen::VectorXf& b, Eigen::VectorXf& x);
  [[nodiscard]] double renewal_operations() const { return aggregates_.renewal_operations(); }
  [[nodiscard]] std::size_t bytes() const;

 private:
  struct Structure {
    SweepOrder order;
    SweepPattern pattern;
    explicit Structure(const NodeGraph& corners)
        : order(make_sweep_order(corners)), pattern(corners, order) {}
  };

  void cycle(const Eigen::VectorXf& r);

  std::shared_ptr<const Structure> structure_;
  Smoother smoother_;
  RigidAggregates aggregates_;
  Eigen::VectorXf r_, z_, left_;  ///< by places
};

}  // namespace setstress
