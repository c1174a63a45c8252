#include "solver/anderson.hpp"

#include <Eigen/Cholesky>

namespace setstress {

Eigen::VectorXd Anderson::step(const Eigen::VectorXd& x, const Eigen::VectorXd& correction) {
  if (last_iterate_.size() > 0) {
    iterate_changes_.push_back(x - last_iterate_);
    correction_changes_.push_back(correction - last_correction_);
    if (iterate_changes_.size() > depth_) {
      iterate_changes_.pop_front();
      correction_changes_.pop_front();
    }
  }
  last_iterate_ = x;
  last_correction_ = correction;

  const auto depth = static_cast<Eigen::Index>(correction_changes_.size());
  if (depth == 0) return correction;
  Eigen::MatrixXd normal(depth, depth);
  Eigen::VectorXd rhs(depth);
  for (Eigen::Index i = 0; i < depth; ++i) {
    const Eigen::VectorXd& change = correction_changes_[static_cast<std::size_t>(i)];
    rhs(i) = change.dot(correction);
    for (Eigen::Index j = 0; j <= i; ++j)
      normal(i, j) = normal(j, i) = change.dot(correction_changes_[static_cast<std::size_t>(j)]);
  }
  normal.diagonal() *= 1.0 + 1e-10;  // changes can be nearly parallel
  const Eigen::VectorXd share = normal.ldlt().solve(rhs);
  if (!share.allFinite()) return correction;
  Eigen::VectorXd step = correction;
  for (Eigen::Index i = 0; i < depth; ++i)
    step -= share(i) * (iterate_changes_[static_cast<std::size_t>(i)] +
                        correction_changes_[static_cast<std::size_t>(i)]);
  return step;
}

}  // namespace setstress
