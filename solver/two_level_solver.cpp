#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <utility>

#include "solver/linear_solver.hpp"
#include "solver/recycled_guess.hpp"
#include "solver/smoother.hpp"
#include "solver/sweep_product.hpp"
#include "solver/two_level_structure.hpp"

namespace setstress {

namespace {

/// How the conjugate gradients ended.
enum class Ending { converged, too_many, not_positive };

/// A coarse factor that is too old costs iterations; a new one costs operations. Renewing pays once the
/// iterations lost since the last renewal would have paid for it. Counted, not timed, so that runs repeat to
/// the last bit.
class RenewalRule {
 public:
  explicit RenewalRule(double factor_cost_in_iterations) : cost_(factor_cost_in_iterations) {}
  [[nodiscard]] bool due() const { return lost_ > cost_; }
  /// Iterations after which a solve that has come `decades` far has itself lost as much as a renewal costs.
  [[nodiscard]] bool hopeless(int iterations, double decades) const {
    return fresh_rate_ > 0 && iterations - fresh_rate_ * decades > cost_ + 5;
  }
  void record(int iterations, double decades, bool fresh) {
    if (decades < 1) return;
    if (fresh) {
      fresh_rate_ = iterations / decades;
      lost_ = 0;
    } else {
      lost_ += std::max(0.0, iterations - fresh_rate_ * decades);
    }
  }

 private:
  double cost_;
  double fresh_rate_ = 0;  ///< iterations a decade right after the last renewal
  double lost_ = 0;
};

class TwoLevelSolver final : public LinearSystemSolver {
 public:
  TwoLevelSolver(std::shared_ptr<const TwoLevelStructure> structure, int most_iterations)
      : structure_(std::move(structure)),
        graph_(structure_->graph),
        most_iterations_(most_iterations),
        order_(structure_->order),
        product_(structure_->pattern, order_),
        smoother_(structure_->pattern, order_),
        coarse_(structure_->coarse),
        renewal_(renewal_cost()),
        recycled_(order_) {}

  LinearOutcome solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                      double tolerance) override;
  void assign(const BlockMatrix& matrix) override;
  LinearOutcome solve_corrected(const LinearMap& correction, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                                double tolerance) override;
  [[nodiscard]] std::string name() const override { return "two-level multigrid, conjugate gradients"; }
  [[nodiscard]] std::size_t bytes() const override;

 private:
  [[nodiscard]] double renewal_cost() const;
  void renew(const BlockMatrix& matrix);
  void precondition(double size);
  bool step(double& size, double& rz_before);
  [[nodiscard]] double dot(const Eigen::VectorXd& a, const Eigen::VectorXd& c) const;
  double true_residual(const Eigen::VectorXd& b);
  Ending iterate(const BlockMatrix& matrix, double target, LinearOutcome& outcome);
  LinearSystemSolver& direct();
  LinearOutcome hand_over(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                          double tolerance, LinearOutcome outcome);

  std::shared_ptr<const TwoLevelStructure> structure_;
  const NodeGraph* graph_;
  int most_iterations_;
  const SweepOrder& order_;
  SweepProduct product_;
  Smoother smoother_;
  CoarseLevel coarse_;
  RenewalRule renewal_;
  const BlockMatrix* assigned_ = nullptr;
  bool renewed_ = false;  ///< the coarse factor, since the last solve
  RecycledGuess recycled_;
  std::unique_ptr<LinearSystemSolver> direct_;
  Eigen::VectorXd x_, r_, z_, p_, ap_;  ///< by places
  Eigen::VectorXf r_single_, z_single_, scratch_single_;
};

/// A factorisation runs at about 12 operations for each byte of the matrix that an iteration moves in the
/// same time; the rest of a renewal costs five iterations.
double TwoLevelSolver::renewal_cost() const {
  const double bytes_per_iteration =
      9 * static_cast<double>(graph_->column.size()) * (0.5 * sizeof(double) + sizeof(float));
  return 5 + coarse_.factor_operations() / (12 * bytes_per_iteration);
}

void TwoLevelSolver::renew(const BlockMatrix& matrix) {
  coarse_.renew(matrix);
  renewed_ = true;
}

void TwoLevelSolver::assign(const BlockMatrix& matrix) {
  assigned_ = &matrix;
  product_.assign(matrix);
  smoother_.assign(matrix);
  if (renewal_.due() || !coarse_.fits(matrix)) renew(matrix);
}

LinearOutcome TwoLevelSolver::solve_corrected(const LinearMap& correction, const Eigen::VectorXd& b,
                                              Eigen::VectorXd& x, double tolerance) {
  const auto product = [&](const Eigen::VectorXd& in, Eigen::VectorXd& out) {
    p_ = order_.by_place(in);
    product_.multiply(p_, ap_);
    out = order_.by_node(ap_);
    correction(in, out);
  };
  const auto precondition_by_node = [&](const Eigen::VectorXd& in, Eigen::VectorXd& out) {
    r_ = order_.by_place(in);
    precondition(1);
    out = order_.by_node(z_);
  };
  const bool fresh = std::exchange(renewed_, false);
  const GmresOutcome found = flexible_gmres(product, precondition_by_node, b, x, tolerance,
                                            std::min(most_iterations_, most_corrected_iterations));
  renewal_.record(found.iterations, -std::log10(std::max(found.relative_residual, 1e-16)), fresh);
  LinearOutcome outcome{
      .iterations = found.iterations, .relative_residual = found.relative_residual, .factorised = fresh};
  if (found.relative_residual <= tolerance) return outcome;
  direct().assign(*assigned_);
  outcome.relative_residual = direct().solve_corrected(correction, b, x, tolerance).relative_residual;
  outcome.fell_back = outcome.factorised = true;
  return outcome;
}

LinearSystemSolver& TwoLevelSolver::direct() {
  if (!direct_) direct_ = make_direct_solver(*graph_);
  return *direct_;
}

double TwoLevelSolver::dot(const Eigen::VectorXd& a, const Eigen::VectorXd& c) const {
  return order_.sum_over_parts([&](int first, int size) {
    return a.segment(stride * first, stride * size).dot(c.segment(stride * first, stride * size));
  });
}

/// z := M^-1 r: forward half-sweeps, coarse correction, backward half-sweeps. Dividing by |r| keeps single
/// precision clear of its limits.
void TwoLevelSolver::precondition(double size) {
  r_single_.resize(r_.size());
  order_.for_parts([&](int first, int count) {
    r_single_.segment(stride * first, stride * count) =
        (r_.segment(stride * first, stride * count) / size).cast<float>();
  });
  smoother_.forward(r_single_, z_single_, scratch_single_);
  coarse_.correct(scratch_single_, z_single_);
  smoother_.backward(r_single_, z_single_, scratch_single_);
  z_.resize(r_.size());
  order_.for_parts([&](int first, int count) {
    z_.segment(stride * first, stride * count) =
        size * z_single_.segment(stride * first, stride * count).cast<double>();
  });
}

/// One iteration of conjugate gradients; false if the matrix shows a direction without positive stiffness.
/// `size` is |r|; rz_before = 0 starts afresh.
bool TwoLevelSolver::step(double& size, double& rz_before) {
  precondition(size);
  const double rz = dot(r_, z_);
  if (!(rz > 0)) return false;
  p_.resize(r_.size());
  order_.for_parts([&](int first, int count) {
    auto p = p_.segment(stride * first, stride * count);
    const auto z = z_.segment(stride * first, stride * count);
    if (rz_before > 0)
      p = z + (rz / rz_before) * p;
    else
      p = z;
  });
  rz_before = rz;
  product_.multiply(p_, ap_);
  const double curvature = dot(p_, ap_);
  if (!(curvature > 0)) return false;
  const double length = rz / curvature;
  size = std::sqrt(order_.sum_over_parts([&](int first, int count) {
    auto r = r_.segment(stride * first, stride * count);
    x_.segment(stride * first, stride * count) += length * p_.segment(stride * first, stride * count);
    r -= length * ap_.segment(stride * first, stride * count);
    return r.squaredNorm();
  }));
  return true;
}

/// Conjugate gradients from x_ and r_ = b - A x_ until |r_| <= target.
Ending TwoLevelSolver::iterate(const BlockMatrix& matrix, double target, LinearOutcome& outcome) {
  double start = std::sqrt(dot(r_, r_));
  double size = start, rz_before = 0;
  int iterations = 0;
  bool fresh = renewed_;
  while (!(size <= target)) {
    if (outcome.iterations >= most_iterations_) return Ending::too_many;
    if (!fresh && renewal_.hopeless(iterations, std::log10(start / size))) {
      renew(matrix);
      fresh = true;
      start = size;
      iterations = 0;
      rz_before = 0;
    }
    if (!step(size, rz_before)) return Ending::not_positive;
    ++iterations;
    ++outcome.iterations;
  }
  renewal_.record(iterations, std::log10(start / size), fresh);
  return Ending::converged;
}

LinearOutcome TwoLevelSolver::hand_over(const BlockMatrix& matrix, const Eigen::VectorXd& b,
                                        Eigen::VectorXd& x, double tolerance, LinearOutcome outcome) {
  outcome.relative_residual = direct().solve(matrix, b, x, tolerance).relative_residual;
  recycled_.remember(order_.by_place(x));
  outcome.fell_back = outcome.factorised = true;
  return outcome;
}

double TwoLevelSolver::true_residual(const Eigen::VectorXd& b) {
  product_.multiply(x_, ap_);
  r_ = b - ap_;
  return std::sqrt(dot(r_, r_));
}

LinearOutcome TwoLevelSolver::solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                                    double tolerance) {
  const double right_hand_side = b.norm();
  LinearOutcome outcome;
  if (!std::isfinite(right_hand_side))
    throw std::runtime_error("linear system: the right-hand side is not a number");
  if (right_hand_side == 0) {
    x.setZero(b.size());
    return outcome;
  }
  renewed_ = false;
  assign(matrix);
  const Eigen::VectorXd b_by_place = order_.by_place(b);
  x_ = order_.by_place(x);
  if (x_.isZero(0))
    r_ = b_by_place;
  else
    true_residual(b_by_place);
  recycled_.improve(product_, x_, r_);
  const double target = tolerance * right_hand_side;
  double residual = std::numeric_limits<double>::infinity();
  for (bool stuck = false; residual > target && !stuck;) {
    // The recursion's residual drifts from the true one by round-off: aim a little lower, then look.
    if (iterate(matrix, 0.9 * target, outcome) != Ending::converged)
      return hand_over(matrix, b, x, tolerance, outcome);
    const double before = std::exchange(residual, true_residual(b_by_place));
    stuck = residual > 0.5 * before && residual <= round_off(matrix, order_.by_node(x_));
  }
  outcome.relative_residual = residual / right_hand_side;
  outcome.factorised = std::exchange(renewed_, false);
  recycled_.remember(x_);
  x = order_.by_node(x_);
  return outcome;
}

std::size_t TwoLevelSolver::bytes() const {
  const std::size_t vectors =
      static_cast<std::size_t>(stride * order_.nodes()) * (6 * sizeof(double) + 3 * sizeof(float));
  return vectors + structure_->pattern.bytes() + product_.bytes() + smoother_.bytes() + coarse_.bytes() +
         recycled_.bytes() + (direct_ ? direct_->bytes() : 0);
}

}  // namespace

std::unique_ptr<LinearSystemSolver> make_two_level_solver(const NodeGraph& graph, int most_iterations) {
  return make_two_level_solver(std::make_shared<const TwoLevelStructure>(graph), most_iterations);
}

std::unique_ptr<LinearSystemSolver> make_two_level_solver(std::shared_ptr<const TwoLevelStructure> structure,
                                                          int most_iterations) {
  return std::make_unique<TwoLevelSolver>(std::move(structure), most_iterations);
}

}  // namespace setstress
