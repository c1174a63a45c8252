#include <fmt/format.h>

#include <cmath>

#include "solver/coarse_level.hpp"
#include "solver/linear_solver.hpp"
#include "solver/recycled_guess.hpp"
#include "solver/sweep_matrix.hpp"

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
    return fresh_rate_ > 0 && iterations - 1.5 * fresh_rate_ * decades > 2 * cost_ + 10;
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
  TwoLevelSolver(const NodeGraph& graph, int most_iterations)
      : graph_(&graph),
        most_iterations_(most_iterations),
        order_(make_sweep_order(graph)),
        pattern_(make_sweep_pattern(graph, order_)),
        coarse_(graph, order_),
        renewal_(renewal_cost()) {}

  LinearOutcome solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                      double tolerance) override;
  [[nodiscard]] std::string name() const override { return "two-level multigrid, conjugate gradients"; }
  [[nodiscard]] std::size_t bytes() const override;

 private:
  [[nodiscard]] double renewal_cost() const;
  void load(const BlockMatrix& matrix);
  void renew(const BlockMatrix& matrix, LinearOutcome& outcome);
  void precondition(const Eigen::VectorXd& r, double scale, Eigen::VectorXd& z);
  [[nodiscard]] double dot(const Eigen::VectorXd& a, const Eigen::VectorXd& c) const;
  [[nodiscard]] Eigen::VectorXd by_place(const Eigen::VectorXd& by_node) const;
  [[nodiscard]] Eigen::VectorXd by_node(const Eigen::VectorXd& by_place) const;
  Ending iterate(const BlockMatrix& matrix, double target, LinearOutcome& outcome);
  LinearOutcome hand_over(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                          double tolerance, LinearOutcome outcome);

  const NodeGraph* graph_;
  int most_iterations_;
  SweepOrder order_;
  SweepPattern pattern_;
  ProductMatrix product_;
  Smoother smoother_;
  CoarseLevel coarse_;
  RenewalRule renewal_;
  RecycledGuess recycled_;
  std::unique_ptr<LinearSystemSolver> direct_;
  Eigen::VectorXd x_, r_, z_, p_, ap_;
  Eigen::VectorXf r_single_, z_single_, scratch_;
};

/// A factorisation runs at about 5 operations for each byte that an iteration moves in the same time.
double TwoLevelSolver::renewal_cost() const {
  const double blocks = static_cast<double>(graph_->column.size());
  const double bytes_per_iteration = 9 * (0.5 * blocks * sizeof(double) + blocks * sizeof(float));
  return coarse_.factor_operations() / (5 * bytes_per_iteration);
}

void TwoLevelSolver::load(const BlockMatrix& matrix) {
  product_.assign(pattern_, matrix);
  smoother_.assign(pattern_, order_, matrix);
}

void TwoLevelSolver::renew(const BlockMatrix& matrix, LinearOutcome& outcome) {
  coarse_.renew(matrix);
  outcome.factorised = true;
}

Eigen::VectorXd TwoLevelSolver::by_place(const Eigen::VectorXd& values) const {
  Eigen::VectorXd result(values.size());
  for (int place = 0; place < order_.nodes(); ++place)
    result.segment<3>(3 * place) = values.segment<3>(3 * order_.node_at[static_cast<std::size_t>(place)]);
  return result;
}

Eigen::VectorXd TwoLevelSolver::by_node(const Eigen::VectorXd& values) const {
  Eigen::VectorXd result(values.size());
  for (int place = 0; place < order_.nodes(); ++place)
    result.segment<3>(3 * order_.node_at[static_cast<std::size_t>(place)]) = values.segment<3>(3 * place);
  return result;
}

/// Summed by parts, then over the parts in order: the same bits on any number of threads.
double TwoLevelSolver::dot(const Eigen::VectorXd& a, const Eigen::VectorXd& c) const {
  std::vector<double> partial(static_cast<std::size_t>(order_.parts()));
#pragma omp parallel for schedule(static)
  for (int part = 0; part < order_.parts(); ++part) {
    const int first = 3 * order_.part_start[static_cast<std::size_t>(part)];
    const int size = 3 * order_.part_start[static_cast<std::size_t>(part) + 1] - first;
    partial[static_cast<std::size_t>(part)] = a.segment(first, size).dot(c.segment(first, size));
  }
  double sum = 0;
  for (const double value : partial) sum += value;
  return sum;
}

/// z := M^-1 r. `scale` (1 / |r|) keeps single precision clear of its limits and leaves the result as it
/// would be.
void TwoLevelSolver::precondition(const Eigen::VectorXd& r, double scale, Eigen::VectorXd& z) {
  r_single_ = (scale * r).cast<float>();
  smoother_.forward(order_, r_single_, z_single_, scratch_);
  coarse_.correct(scratch_, z_single_);
  smoother_.backward(order_, r_single_, z_single_, scratch_);
  z = z_single_.cast<double>() / scale;
}

/// Conjugate gradients from x_ and r_ = b - A x_ until |r_| <= target.
Ending TwoLevelSolver::iterate(const BlockMatrix& matrix, double target, LinearOutcome& outcome) {
  const double start = std::sqrt(dot(r_, r_));
  double residual = start, rz_before = 0;
  int iterations = 0;
  bool fresh = outcome.factorised;
  const auto decades = [&] { return std::log10(start / residual); };
  while (!(residual <= target)) {
    if (outcome.iterations >= most_iterations_) return Ending::too_many;
    if (!fresh && renewal_.hopeless(iterations, decades())) {
      renew(matrix, outcome);
      fresh = true;
      rz_before = 0;  // restarts the conjugate directions
    }
    precondition(r_, 1 / residual, z_);
    const double rz = dot(r_, z_);
    if (!(rz > 0)) return Ending::not_positive;
    if (rz_before > 0)
      p_ = z_ + (rz / rz_before) * p_;
    else
      p_ = z_;
    rz_before = rz;
    product_.multiply(order_, p_, ap_);
    const double curvature = dot(p_, ap_);
    if (!(curvature > 0)) return Ending::not_positive;
    x_ += (rz / curvature) * p_;
    r_ -= (rz / curvature) * ap_;
    residual = std::sqrt(dot(r_, r_));
    ++iterations;
    ++outcome.iterations;
  }
  renewal_.record(iterations, decades(), fresh);
  return Ending::converged;
}

LinearOutcome TwoLevelSolver::hand_over(const BlockMatrix& matrix, const Eigen::VectorXd& b,
                                        Eigen::VectorXd& x, double tolerance, LinearOutcome outcome) {
  if (!direct_) direct_ = make_direct_solver(*graph_);
  const LinearOutcome direct = direct_->solve(matrix, b, x, tolerance);
  recycled_.remember(by_place(x));
  outcome.relative_residual = direct.relative_residual;
  outcome.fell_back = outcome.factorised = true;
  return outcome;
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
  load(matrix);
  if (renewal_.due() || !coarse_.fits(matrix)) renew(matrix, outcome);
  const Eigen::VectorXd target = by_place(b);
  x_ = by_place(x);
  const auto product = [this](const Eigen::VectorXd& v, Eigen::VectorXd& av) {
    product_.multiply(order_, v, av);
  };
  const auto residual = [&] {
    product(x_, ap_);
    r_ = target - ap_;
    return std::sqrt(dot(r_, r_)) / right_hand_side;
  };
  residual();
  recycled_.improve(
      product, [this](const auto& u, const auto& v) { return dot(u, v); }, x_, r_);
  while (true) {
    // The recursion's residual drifts from the true one by round-off: aim a little lower, then look.
    const Ending ending = iterate(matrix, 0.9 * tolerance * right_hand_side, outcome);
    if (ending != Ending::converged) return hand_over(matrix, b, x, tolerance, outcome);
    outcome.relative_residual = residual();
    if (outcome.relative_residual <= tolerance) break;
  }
  recycled_.remember(x_);
  x = by_node(x_);
  return outcome;
}

std::size_t TwoLevelSolver::bytes() const {
  const std::size_t pattern =
      2 * sizeof(std::uint32_t) *
      (pattern_.inside.column.size() + pattern_.before.column.size() + pattern_.after.column.size());
  const std::size_t vectors =
      static_cast<std::size_t>(3 * order_.nodes()) * (5 * sizeof(double) + 3 * sizeof(float));
  return pattern + vectors + product_.bytes() + smoother_.bytes() + coarse_.bytes() + recycled_.bytes() +
         (direct_ ? direct_->bytes() : 0);
}

}  // namespace

std::unique_ptr<LinearSystemSolver> make_two_level_solver(const NodeGraph& graph, int most_iterations) {
  return std::make_unique<TwoLevelSolver>(graph, most_iterations);
}

}  // namespace setstress
