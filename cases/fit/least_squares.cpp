#include "cases/fit/least_squares.hpp"

#include <ceres/ceres.h>

#include <Eigen/SVD>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace setstress {
namespace {

constexpr double bend = 1.345, small_step = 1e-5, open_direction = 1e-7, open_part = 1e-3;

/// Constants as shares of their bounds: 0 is the lower, 1 the upper one.
struct Scaled {
  const Residuals& residuals;
  const Bounded& bounded;

  [[nodiscard]] Eigen::VectorXd value(const Eigen::VectorXd& share) const {
    return bounded.low + share.cwiseProduct(bounded.high - bounded.low);
  }
  /// Central differences, one-sided at a bound.
  [[nodiscard]] Eigen::MatrixXd jacobian(const Eigen::VectorXd& share) const {
    Eigen::MatrixXd slopes;
    for (Eigen::Index i = 0; i < share.size(); ++i) {
      Eigen::VectorXd up = share, down = share;
      up(i) = std::min(1.0, share(i) + small_step);
      down(i) = std::max(0.0, share(i) - small_step);
      const Eigen::VectorXd slope = (residuals(value(up)) - residuals(value(down))) / (up(i) - down(i));
      if (i == 0) slopes.resize(slope.size(), share.size());
      slopes.col(i) = slope;
    }
    return slopes;
  }
};

/// Residual `row` of the whole, so that the loss acts on each datum: rows share one evaluation.
class Whole {
 public:
  explicit Whole(const Scaled& scaled) : scaled_(scaled) {}
  void at(const Eigen::VectorXd& share, bool with_slopes) {
    if (share_.size() == 0 || share != share_) {
      share_ = share;
      residuals_ = scaled_.residuals(scaled_.value(share));
      slopes_.resize(0, 0);
    }
    if (with_slopes && slopes_.size() == 0) slopes_ = scaled_.jacobian(share);
  }
  [[nodiscard]] double residual(Eigen::Index row) const { return residuals_(row); }
  [[nodiscard]] double slope(Eigen::Index row, Eigen::Index constant) const { return slopes_(row, constant); }

 private:
  const Scaled& scaled_;
  Eigen::VectorXd share_, residuals_;
  Eigen::MatrixXd slopes_;
};

class Row : public ceres::CostFunction {
 public:
  Row(Whole& whole, Eigen::Index row, int constants) : whole_(whole), row_(row) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->push_back(constants);
  }
  bool Evaluate(double const* const* parameters, double* residuals, double** jacobians) const override {
    const int constants = parameter_block_sizes().front();
    const bool slopes = jacobians != nullptr && jacobians[0] != nullptr;
    whole_.at(Eigen::Map<const Eigen::VectorXd>(parameters[0], constants), slopes);
    residuals[0] = whole_.residual(row_);
    for (int i = 0; slopes && i < constants; ++i) jacobians[0][i] = whole_.slope(row_, i);
    return std::isfinite(residuals[0]);
  }

 private:
  Whole& whole_;
  Eigen::Index row_;
};

/// Scatter [in units of the residuals], squared, that stands before (J^T J)^-1.
double squared_scatter(const Eigen::VectorXd& r, Eigen::Index constants, Loss loss) {
  const auto n = static_cast<double>(r.size()), p = static_cast<double>(constants);
  if (loss == Loss::squares) return r.squaredNorm() / (n - p);
  const double squares = r.cwiseAbs().cwiseMin(bend).squaredNorm();
  const double inside = static_cast<double>((r.array().abs() < bend).count()) / n;
  const double correction = 1 + p / n * (1 - inside) / inside;
  return correction * correction * squares / (n - p) / (inside * inside);
}

void add_errors(const Scaled& scaled, const Eigen::VectorXd& share, Loss loss, Scatter scatter,
                Estimate& found) {
  const Eigen::MatrixXd slopes = scaled.jacobian(share);
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(slopes, Eigen::ComputeThinV);
  const Eigen::Index constants = share.size();
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(constants, constants);
  Eigen::VectorXd open = Eigen::VectorXd::Zero(constants);
  for (Eigen::Index k = 0; k < constants; ++k) {
    const Eigen::VectorXd direction = svd.matrixV().col(k);
    const double size = svd.singularValues()(k);
    if (size > open_direction * svd.singularValues()(0))
      covariance += direction * direction.transpose() / (size * size);
    else
      open = open.cwiseMax(direction.cwiseAbs());
  }
  if (scatter == Scatter::found) covariance *= squared_scatter(found.residuals, constants, loss);
  found.standard_error =
      covariance.diagonal().cwiseSqrt().cwiseProduct(scaled.bounded.high - scaled.bounded.low);
  const Eigen::VectorXd scale = covariance.diagonal().cwiseSqrt().cwiseInverse();
  found.correlation = scale.asDiagonal() * covariance * scale.asDiagonal();
  for (Eigen::Index k = 0; k < constants; ++k) {
    if (open(k) < open_part) continue;
    found.standard_error(k) = std::numeric_limits<double>::infinity();
    found.correlation.row(k).setConstant(std::numeric_limits<double>::quiet_NaN());
    found.correlation.col(k).setConstant(std::numeric_limits<double>::quiet_NaN());
  }
}

}  // namespace

Estimate least_squares(const Residuals& residuals, const Bounded& bounded, Loss loss, Scatter scatter) {
  const Scaled scaled{residuals, bounded};
  Eigen::VectorXd share = (bounded.start - bounded.low).cwiseQuotient(bounded.high - bounded.low);
  const auto constants = static_cast<int>(share.size());
  const Eigen::Index data = residuals(bounded.start).size();
  Whole whole(scaled);
  ceres::Problem problem;
  problem.AddParameterBlock(share.data(), constants);
  for (int i = 0; i < constants; ++i) {
    problem.SetParameterLowerBound(share.data(), i, 0.0);
    problem.SetParameterUpperBound(share.data(), i, 1.0);
  }
  for (Eigen::Index row = 0; row < data; ++row)
    problem.AddResidualBlock(new Row(whole, row, constants),
                             loss == Loss::huber ? new ceres::HuberLoss(bend) : nullptr, share.data());
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = 200;
  options.function_tolerance = 1e-12;
  options.parameter_tolerance = 1e-10;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  if (!summary.IsSolutionUsable())
    throw std::runtime_error("the least-squares search found no optimum: " + summary.message);
  Estimate found;
  found.value = scaled.value(share);
  found.residuals = residuals(found.value);
  found.iterations = static_cast<int>(summary.iterations.size());
  add_errors(scaled, share, loss, scatter, found);
  return found;
}

double half_width_95(double degrees_of_freedom) {
  return boost::math::quantile(boost::math::students_t(degrees_of_freedom), 0.975);
}

}  // namespace setstress
