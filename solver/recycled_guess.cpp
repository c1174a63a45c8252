#include "solver/recycled_guess.hpp"

#include <Eigen/Eigenvalues>

namespace setstress {

void RecycledGuess::improve(const Product& product, const Dot& dot, Eigen::VectorXd& x,
                            Eigen::VectorXd& residual) {
  const auto count = static_cast<Eigen::Index>(solutions_.size());
  if (count == 0) return;
  products_.resize(solutions_.size());
  Eigen::MatrixXd energy(count, count);
  Eigen::VectorXd work(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const auto row = static_cast<std::size_t>(i);
    product(solutions_[row], products_[row]);
    for (Eigen::Index j = 0; j <= i; ++j)
      energy(i, j) = energy(j, i) = dot(solutions_[static_cast<std::size_t>(j)], products_[row]);
    work(i) = dot(solutions_[row], residual);
  }
  // Solutions of neighbouring steps are nearly parallel: scale to unit energy and leave out what is only
  // round-off.
  if (!(energy.diagonal().array() > 0).all() || !energy.allFinite()) return;
  const Eigen::VectorXd scale = energy.diagonal().cwiseSqrt().cwiseInverse();
  const Eigen::MatrixXd scaled = scale.asDiagonal() * energy * scale.asDiagonal();
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(scaled);
  Eigen::VectorXd part = eigen.eigenvectors().transpose() * scale.cwiseProduct(work);
  for (Eigen::Index i = 0; i < count; ++i)
    part(i) = eigen.eigenvalues()(i) > 1e-12 ? part(i) / eigen.eigenvalues()(i) : 0;
  const Eigen::VectorXd combination = scale.cwiseProduct(eigen.eigenvectors() * part);
  for (Eigen::Index i = 0; i < count; ++i) {
    x += combination(i) * solutions_[static_cast<std::size_t>(i)];
    residual -= combination(i) * products_[static_cast<std::size_t>(i)];
  }
}

void RecycledGuess::remember(const Eigen::VectorXd& solution) {
  if (!solution.allFinite() || solution.isZero(0)) return;
  if (solutions_.size() < most_)
    solutions_.push_back(solution);
  else
    solutions_[next_] = solution;
  next_ = (next_ + 1) % most_;
}

std::size_t RecycledGuess::bytes() const {
  std::size_t numbers = 0;
  for (const auto* vectors : {&solutions_, &products_})
    for (const Eigen::VectorXd& v : *vectors) numbers += static_cast<std::size_t>(v.size());
  return numbers * sizeof(double);
}

}  // namespace setstress
