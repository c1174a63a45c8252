#pragma once
// Symmetric Gauss-Seidel by node blocks, in single precision: half of the two-level preconditioner.

#include <Eigen/Core>
#include <vector>

#include "solver/linear/sweep/sweep_matrix.hpp"

namespace setstress {

/// Goes from part to part of the order and sweeps each twice by itself, with its neighbours as they stand
/// (multiplicative Schwarz, inexact on each part): the matrix comes from memory once, and serves twice.
/// Forward, then the coarse level's correction of z, then backward are together one symmetric two-level
/// cycle. Both also give what they leave, r - A z, mostly from sums that they need anyway: no product with
/// the matrix has to follow. Vectors are by places (see `stride`); the fourth entries of residuals mean
/// nothing.
class Smoother {
 public:
  /// Both must outlive this.
  Smoother(const SweepPattern& pattern, const SweepOrder& order) : pattern_(&pattern), order_(&order) {}
  /// Takes over new values. Throws NotPositiveDefinite if a diagonal block is not.
  void assign(const BlockMatrix& matrix);
  /// In order for A z = r from z = 0.
  void forward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual);
  /// In reverse order for A z = r from the present z.
  void backward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual);
  [[nodiscard]] std::size_t bytes() const;

 private:
  [[nodiscard]] ShortVector solved(std::size_t row, ShortVector right) const;
  void forward_part(int part, int next, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                    Eigen::VectorXf& residual);
  void backward_part(int part, int next, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                     Eigen::VectorXf& residual);

  const SweepPattern* pattern_;
  const SweepOrder* order_;
  SweepValues inside_, before_, after_;
  std::vector<Eigen::Matrix<float, stride, 3>>
      inverse_diagonal_;  ///< last row zero: a node in, a short vector out
  // By places, for a row's first sweep: what is to balance with its part, and its sum over `before`.
  Eigen::VectorXf right_, before_then_;
};

}  // namespace setstress
