#pragma once
// Symmetric Gauss-Seidel by node blocks, in single precision: half of the two-level preconditioner.

#include <Eigen/Core>
#include <vector>

#include "solver/sweep_matrix.hpp"

namespace setstress {

/// Goes from part to part of the order and sweeps each twice by itself, with its neighbours as they stand
/// (multiplicative Schwarz, inexact on each part): the matrix comes from memory once, and serves twice.
/// Forward, then the coarse level's correction of z, then backward are together one symmetric two-level
/// cycle. Vectors are by places (see `stride`).
class Smoother {
 public:
  /// Both must outlive this.
  Smoother(const SweepPattern& pattern, const SweepOrder& order) : pattern_(&pattern), order_(&order) {}
  /// Takes over new values. Throws NotPositiveDefinite if a diagonal block is not.
  void assign(const BlockMatrix& matrix);
  /// In order for A z = r from z = 0. Also gives r - A z, which falls out of the same pass: inside a part it
  /// is U (z before) - U z. Its fourth entries mean nothing.
  void forward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual) const;
  /// In reverse order for A z = r from the present z. `scratch` is overwritten.
  void backward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& scratch) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  using Values = SweepValues<float>;
  void forward_part(int part, const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual,
                    Eigen::VectorXf& right) const;
  void backward_part(int part, const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& scratch,
                     Eigen::VectorXf& right) const;

  const SweepPattern* pattern_;
  const SweepOrder* order_;
  Values inside_, before_, after_;
  std::vector<Eigen::Matrix<float, stride, 3>>
      inverse_diagonal_;  ///< last row zero: a node in, a short vector out
};

}  // namespace setstress
