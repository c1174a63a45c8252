#include "solver/linear/solve/nearly_parallel.hpp"

#include <Eigen/Eigenvalues>
#include <cmath>

namespace setstress {

GramColumn shares_in(const Gram& gram, const GramColumn& products, double least) {
  GramColumn scale;
  for (Eigen::Index i = 0; i < products.size(); ++i)
    scale(i) = gram(i, i) > 0 ? 1 / std::sqrt(gram(i, i)) : 0;
  const Eigen::SelfAdjointEigenSolver<Gram> eigen(scale.asDiagonal() * gram * scale.asDiagonal());
  GramColumn part = eigen.eigenvectors().transpose() * scale.cwiseProduct(products);
  for (Eigen::Index i = 0; i < products.size(); ++i)
    part(i) = eigen.eigenvalues()(i) > least ? part(i) / eigen.eigenvalues()(i) : 0;
  return scale.cwiseProduct(eigen.eigenvectors() * part);
}

}  // namespace setstress
