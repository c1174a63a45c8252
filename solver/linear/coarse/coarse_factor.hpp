#pragma once
// The factorised matrix of a coarse level: in single precision where that will do, in double where not.

#include <Eigen/Core>
#include <memory>
#include <vector>

#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/factor/multifrontal.hpp"

namespace setstress {

/// Factor of a symmetric positive definite matrix of 3 x 3 blocks, good for preconditioning.
class CoarseFactor {
 public:
  /// Finds order and pattern. Throws as BlockCholesky does.
  explicit CoarseFactor(const BlockPattern& pattern);
  /// Copies what does not depend on values.
  CoarseFactor(const CoarseFactor& other) : analysis_(other.analysis_), multifrontal_(other.multifrontal_) {}
  CoarseFactor& operator=(const CoarseFactor&) = delete;

  /// Values by the pattern given. Throws NotPositiveDefinite.
  void factorise(const std::vector<Block>& values);
  /// x := A^-1 b of the last values.
  void solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) const { factor_.solve(b, x); }
  [[nodiscard]] const SupernodalFactor& factor() const { return factor_; }
  [[nodiscard]] double operations() const { return analysis_->operations(); }  ///< of one factorisation
  [[nodiscard]] std::size_t bytes() const;

 private:
  std::shared_ptr<const BlockCholesky> analysis_;
  std::shared_ptr<const Multifrontal> multifrontal_;
  std::unique_ptr<BlockCholesky> careful_;  ///< in double precision, once single precision was not enough
  SupernodalFactor factor_;
};

}  // namespace setstress
