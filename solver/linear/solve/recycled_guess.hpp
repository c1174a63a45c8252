#pragma once
// A better start for the next solve from the last few solutions.

#include <Eigen/Core>

#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Keeps the last 8 solutions of similar systems. The member of their span that minimises the energy error of
/// a new system is its Galerkin projection (Fischer 1998, Comput Methods Appl Mech Eng 163:193). It can only
/// lower that error, so old solutions do no harm even after strong changes.
class RecycledGuess {
 public:
  explicit RecycledGuess(const SweepOrder& order) : order_(&order) {}
  /// Improves x and its residual = b - A x.
  void improve(const BlockMatrix& matrix, Eigen::VectorXd& x, Eigen::VectorXd& residual);
  void remember(const Eigen::VectorXd& solution);
  [[nodiscard]] std::size_t bytes() const;

 private:
  static constexpr int bundle = 8;
  /// A vector a column; row-major, so that the entries of one unknown lie side by side.
  using Bundle = Eigen::Matrix<double, Eigen::Dynamic, bundle, Eigen::RowMajor>;
  void multiply(const BlockMatrix& matrix);

  const SweepOrder* order_;
  Bundle solutions_, products_;
  int next_ = 0;  ///< column to be replaced next; columns not used yet are zero
};

}  // namespace setstress
