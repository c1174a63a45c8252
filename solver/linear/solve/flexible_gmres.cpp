#include "solver/linear/solve/flexible_gmres.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace setstress {
namespace {

/// Turns (a, b) by the rotation into (r, 0).
void rotate(double cosine, double sine, double& a, double& b) {
  const double turned = cosine * a + sine * b;
  b = cosine * b - sine * a;
  a = turned;
}

/// image -= share * direction, then image . with; chunk by chunk and added up in their order, so that any
/// number of threads gives the same bits.
double subtract_and_project(double share, const Eigen::VectorXd& direction, const Eigen::VectorXd& with,
                            Eigen::VectorXd& image) {
  constexpr Eigen::Index chunk = 4096;
  const Eigen::Index chunks = (image.size() + chunk - 1) / chunk;
  std::vector<double> part(static_cast<std::size_t>(chunks));
#pragma omp parallel for schedule(static) if (chunks >= 8)
  for (Eigen::Index k = 0; k < chunks; ++k) {
    const Eigen::Index first = k * chunk, size = std::min(chunk, image.size() - first);
    auto own = image.segment(first, size);
    own -= share * direction.segment(first, size);
    part[static_cast<std::size_t>(k)] = own.dot(with.segment(first, size));
  }
  return std::accumulate(part.begin(), part.end(), 0.0);
}

/// Makes `image` orthogonal to all of `basis`; returns its projections on them and what is left of its
/// length.
Eigen::VectorXd orthogonalise(const std::vector<Eigen::VectorXd>& basis, Eigen::VectorXd& image) {
  Eigen::VectorXd projections(static_cast<Eigen::Index>(basis.size()) + 1);
  double share = 0;
  const Eigen::VectorXd* last = &basis.front();
  for (std::size_t i = 0; i < basis.size(); ++i) {
    share = subtract_and_project(share, *last, basis[i], image);
    projections(static_cast<Eigen::Index>(i)) = share;
    last = &basis[i];
  }
  projections.tail<1>()(0) = std::sqrt(subtract_and_project(share, *last, image, image));
  return projections;
}

/// The small least-squares problem, kept triangular by one rotation an iteration.
class Hessenberg {
 public:
  Hessenberg(int most, double start) : triangle_(most + 1, most), right_(most + 1) {
    triangle_.setZero();
    right_.setZero();
    right_(0) = start;
  }
  /// Takes the projections of the new direction on all before and its own length; returns the residual left.
  double add(const Eigen::VectorXd& column) {
    const Eigen::Index j = count_++;
    triangle_.col(j).head(j + 2) = column;
    for (Eigen::Index i = 0; i < j; ++i)
      rotate(cosine_[static_cast<std::size_t>(i)], sine_[static_cast<std::size_t>(i)], triangle_(i, j),
             triangle_(i + 1, j));
    const double length = std::hypot(triangle_(j, j), triangle_(j + 1, j));
    cosine_.push_back(length > 0 ? triangle_(j, j) / length : 1);
    sine_.push_back(length > 0 ? triangle_(j + 1, j) / length : 0);
    rotate(cosine_.back(), sine_.back(), triangle_(j, j), triangle_(j + 1, j));
    rotate(cosine_.back(), sine_.back(), right_(j), right_(j + 1));
    return std::abs(right_(j + 1));
  }
  [[nodiscard]] Eigen::VectorXd shares() const {
    return triangle_.topLeftCorner(count_, count_).triangularView<Eigen::Upper>().solve(right_.head(count_));
  }

 private:
  Eigen::MatrixXd triangle_;
  Eigen::VectorXd right_;
  std::vector<double> cosine_, sine_;
  Eigen::Index count_ = 0;
};

}  // namespace

GmresOutcome flexible_gmres(const PreconditionedProduct& product, const Eigen::VectorXd& b,
                            Eigen::VectorXd& x, double tolerance, int most) {
  x.setZero(b.size());
  const double start = b.norm();
  GmresOutcome outcome;
  if (!(start > 0)) return outcome;
  std::vector<Eigen::VectorXd> basis{b / start}, directions;
  Hessenberg problem(most, start);
  double residual = start;
  while (residual > tolerance * start && outcome.iterations < most) {
    Eigen::VectorXd& direction = directions.emplace_back(b.size());
    Eigen::VectorXd image(b.size());
    product(basis.back(), direction, image);
    const Eigen::VectorXd column = orthogonalise(basis, image);
    residual = problem.add(column);
    ++outcome.iterations;
    const double left = column(column.size() - 1);
    if (!(left > 0)) break;  // solved exactly
    basis.push_back(image / left);
  }
  outcome.relative_residual = residual / start;
  const Eigen::VectorXd shares = problem.shares();
  if (!shares.allFinite()) {  // the matrix is singular on what was searched
    outcome.relative_residual = 1;
    return outcome;
  }
  for (std::size_t j = 0; j < directions.size(); ++j)
    x += shares(static_cast<Eigen::Index>(j)) * directions[j];
  return outcome;
}

}  // namespace setstress
