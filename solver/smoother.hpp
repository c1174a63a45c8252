#pragma once
// Symmetric Gauss-Seidel by node blocks, in single precision: half of the two-level preconditioner.

#include <Eigen/Core>
#include <vector>

#include "solver/sweep_matrix.hpp"

namespace setstress {

/// The two halves of a sweep. Between them the coarse level corrects z, so that forward, correction, backward
/// are together one symmetric two-level cycle. Vectors are by places (see `stride`).
class Smoother {
 public:
  /// Both must outlive this.
  Smoother(const SweepPattern& pattern, const SweepOrder& order) : pattern_(&pattern), order_(&order) {}
  /// Takes over new values. Throws NotPositiveDefinite if a diagonal block is not.
  void assign(const BlockMatrix& matrix);
  /// One sweep in order for A z = r. On entry `residual` must be zero if z is, or as the last call left it;
  /// on return it is r - A z, which falls out of the same pass: r - A z = U (z before) - U z. Its fourth
  /// entries mean nothing. So for z before = 0 or for a second sweep only.
  void forward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual) const;
  /// One sweep in reverse order for A z = r from the present z. `scratch` is overwritten.
  void backward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& scratch) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  using Values = SweepValues<float>;
  void forward_part(int part, const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual) const;
  void backward_part(int part, const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& scratch) const;

  const SweepPattern* pattern_;
  const SweepOrder* order_;
  Values inside_, before_, after_;
  std::vector<Eigen::Matrix<float, stride, 3>>
      inverse_diagonal_;  ///< last row zero: a node in, a short vector out
};

}  // namespace setstress
