#pragma once
// The matrix as the two-level solver reads it: renumbered, half stored, in double precision for products and
// in single precision for smoothing.

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "solver/block_matrix.hpp"
#include "solver/sweep_order.hpp"

namespace setstress {

/// Memory traffic is what limits these solvers, so a coupling inside a part is stored once, in the row of its
/// later node, and used for both nodes while it is in a register. Couplings between parts are stored in both
/// rows, so that threads only write to nodes of their own part.
struct SweepPattern {
  /// Columns (places) of some couplings, row by row, and where each comes from in BlockMatrix::values.
  struct Rows {
    std::vector<std::uint32_t> start, column, source;
  };
  Rows inside;                          ///< same part, column < row
  Rows before;                          ///< other parts, column < row
  Rows after;                           ///< other parts, column > row
  std::vector<std::uint32_t> diagonal;  ///< where each diagonal block comes from
};

SweepPattern make_sweep_pattern(const NodeGraph& graph, const SweepOrder& order);

/// y = A x in double precision, by places.
class ProductMatrix {
 public:
  void assign(const SweepPattern& pattern, const BlockMatrix& matrix);
  void multiply(const SweepOrder& order, const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  const SweepPattern* pattern_ = nullptr;
  std::vector<Eigen::Matrix3d> inside_, before_, after_, diagonal_;
};

/// The two halves of a symmetric block Gauss-Seidel sweep, by places, in single precision. Between them the
/// coarse level corrects z, so that forward, correction, backward together are one symmetric two-level cycle.
class Smoother {
 public:
  /// Throws NotPositiveDefinite if a diagonal block is not.
  void assign(const SweepPattern& pattern, const SweepOrder& order, const BlockMatrix& matrix);
  /// z := (D + L)^-1 r, and `residual` := r - A z = -U z, which falls out of the same pass.
  void forward(const SweepOrder& order, const Eigen::VectorXf& r, Eigen::VectorXf& z,
               Eigen::VectorXf& residual) const;
  /// z := the backward sweep for A z = r from the present z. `scratch` is overwritten.
  void backward(const SweepOrder& order, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                Eigen::VectorXf& scratch) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  const SweepPattern* pattern_ = nullptr;
  std::vector<Eigen::Matrix3f> inside_, before_, after_, inverse_diagonal_;
};

}  // namespace setstress
