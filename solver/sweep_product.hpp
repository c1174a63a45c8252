#pragma once
// Products with the half-stored matrix in double precision.

#include <Eigen/Core>
#include <vector>

#include "solver/sweep_matrix.hpp"

namespace setstress {

/// Vectors are by places (see `stride`). Results do not depend on the number of threads.
class SweepProduct {
 public:
  static constexpr int bundle = 8;
  /// Up to 8 vectors, one a column; row-major, so that the entries of one unknown lie side by side.
  using Bundle = Eigen::Matrix<double, Eigen::Dynamic, bundle, Eigen::RowMajor>;

  /// Both must outlive this.
  SweepProduct(const SweepPattern& pattern, const SweepOrder& order) : pattern_(&pattern), order_(&order) {}
  void assign(const BlockMatrix& matrix);
  /// y = A x.
  void multiply(const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
  /// Y = A X, reading the matrix once.
  void multiply(const Bundle& x, Bundle& y) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  using Values = SweepValues<double>;
  void multiply_part(int part, const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
  void multiply_part(int part, const Bundle& x, Bundle& y) const;

  const SweepPattern* pattern_;
  const SweepOrder* order_;
  Values inside_, before_, after_;
  std::vector<Eigen::Matrix<double, stride, 3>> diagonal_;  ///< last row zero: a node in, a short vector out
};

}  // namespace setstress
