#pragma once
// Conjugate gradients' counterpart for matrices that are neither symmetric nor positive definite.

#include <Eigen/Core>
#include <functional>

namespace setstress {

/// y := something linear of x.
using LinearMap = std::function<void(const Eigen::VectorXd& x, Eigen::VectorXd& y)>;

/// z := about A^-1 v, image := A z.
using PreconditionedProduct =
    std::function<void(const Eigen::VectorXd& v, Eigen::VectorXd& z, Eigen::VectorXd& image)>;

struct GmresOutcome {
  int iterations = 0;
  double relative_residual = 0;  ///< |b - A x| / |b|, by the recursion
};

/// Lowers |b - A x| from x = 0 until it is at most tolerance |b| or `most` iterations are spent; never leaves
/// it larger. Keeps 2 vectors an iteration. Flexible generalised minimal residuals, preconditioned from the
/// right: Saad 1993, SIAM J Sci Comput 14:461.
GmresOutcome flexible_gmres(const PreconditionedProduct& product, const Eigen::VectorXd& b,
                            Eigen::VectorXd& x, double tolerance, int most);

}  // namespace setstress
