#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <utility>

#include "solver/linear/solve/linear_solver.hpp"
#include "solver/linear/solve/recycled_guess.hpp"
#include "solver/linear/solve/two_level_structure.hpp"
#include "solver/linear/sweep/smoother.hpp"

namespace setstress {

namespace {

/// Minimal residuals rely on products that fall out of single precision, which are good enough to come this
/// far before the true residual is looked at. Newton's method wants less, and looks itself.
constexpr double longest_stretch = 1e-3;

/// Minimal residuals that an old coarse factor does not bring through by then start afresh with a new one.
constexpr int most_with_old_factor = 15;

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
    if (fresh) lost_ = 0;
    if (decades < 1.5) return;  // whole iterations say little about so short a way
    if (fresh || fresh_rate_ == 0)
      fresh_rate_ = iterations / decades;
    else  // a lucky solve makes up for another
      lost_ = std::max(0.0, lost_ + iterations - fresh_rate_ * decades);
  }

 private:
  double cost_;
  double fresh_rate_ = 0;  ///< iterations a decade, after a renewal
  double lost_ = 0;
};

class TwoLevelSolver final : public LinearSystemSolver {
 public:
  TwoLevelSolver(std::shared_ptr<const TwoLevelStructure> structure, int most_iterations)
      : structure_(std::move(structure)),
        graph_(structure_->graph),
        most_iterations_(most_iterations),
        order_(structure_->order),
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
  void solve_corners_exactly(const BlockMatrix& matrix);
  void precondition();
  void apply(const Eigen::VectorXd& v, const LinearMap& correction, Eigen::VectorXd& z,
             Eigen::VectorXd& image);
  bool step(double& size, double& rz_before);
  [[nodiscard]] double dot(const Eigen::VectorXd& a, const Eigen::VectorXd& c) const;
  double look(const BlockMatrix& matrix, const Eigen::VectorXd& b);
  Ending iterate(const BlockMatrix& matrix, const Eigen::VectorXd& b, double target, LinearOutcome& outcome);
  LinearSystemSolver& direct();
  LinearOutcome hand_over(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                          double tolerance, LinearOutcome outcome);

  std::shared_ptr<const TwoLevelStructure> structure_;
  const NodeGraph* graph_;
  int most_iterations_;
  const SweepOrder& order_;
  Smoother smoother_;
  CoarseLevel coarse_;
  RenewalRule renewal_;
  const BlockMatrix* assigned_ = nullptr;
  bool renewed_ = false;  ///< the coarse factor, since the last solve
  bool current_ = false;  ///< the coarse factor is that of the matrix assigned
  RecycledGuess recycled_;
  std::unique_ptr<LinearSystemSolver> direct_;
  Eigen::VectorXd x_, r_, p_, ap_;  ///< by places
  Eigen::VectorXf r_single_, z_single_, left_single_;
  double looked_ = 0;     ///< |r_| when it was last b - A x_ itself
  double trusted_ = 0.3;  ///< how far |r_| may fall before it is looked at again, as a share of that
};

/// A factorisation runs at about 30 operations for each byte of the matrix that an iteration moves in the
/// same time; the rest of a renewal costs five iterations.
double TwoLevelSolver::renewal_cost() const {
  const double bytes_per_iteration = 9.0 * sizeof(float) * static_cast<double>(graph_->column.size());
  return 5 + coarse_.renewal_operations() / (30 * bytes_per_iteration);
}

void TwoLevelSolver::renew(const BlockMatrix& matrix) {
  coarse_.renew(matrix);
  renewed_ = current_ = true;
}

/// From now on, cycles having failed. A renewal then costs what a factor costs.
void TwoLevelSolver::solve_corners_exactly(const BlockMatrix& matrix) {
  coarse_.solve_exactly();
  renewal_ = RenewalRule(renewal_cost());
  renew(matrix);
}

void TwoLevelSolver::assign(const BlockMatrix& matrix) {
  assigned_ = &matrix;
  smoother_.assign(matrix);
  current_ = false;
  if (renewal_.due() || !coarse_.fits(matrix)) renew(matrix);
}

LinearOutcome TwoLevelSolver::solve_corrected(const LinearMap& correction, const Eigen::VectorXd& b,
                                              Eigen::VectorXd& x, double tolerance) {
  LinearOutcome outcome{.relative_residual = 1, .factorised = std::exchange(renewed_, false)};
  x.setZero(b.size());
  const double right_hand_side = b.norm();
  if (right_hand_side == 0) return {.factorised = outcome.factorised};
  const int most = std::min(most_iterations_, most_corrected_iterations);
  Eigen::VectorXd left = b, part;
  int still = most;
  while (still > 0 && outcome.relative_residual > tolerance) {
    const int at_once = current_ ? still : std::min(still, most_with_old_factor);
    const double share = std::max(tolerance * right_hand_side / left.norm(), longest_stretch);
    const GmresOutcome found =
        flexible_gmres([&](const auto& v, auto& z, auto& image) { apply(v, correction, z, image); }, left,
                       part, share, at_once);
    renewal_.record(found.iterations, -std::log10(std::max(found.relative_residual, 1e-16)),
                    outcome.factorised);
    outcome.iterations += found.iterations;
    still -= found.iterations;
    x += part;
    outcome.relative_residual *= found.relative_residual;
    if (found.relative_residual > share) {
      if (current_) break;
      renew(*assigned_);
      outcome.factorised = true;
      still = std::min(most, most_iterations_ - outcome.iterations);
    } else if (tolerance >= longest_stretch)
      break;
    multiply(*assigned_, x, left);
    correction(x, left);
    left = b - left;
    outcome.relative_residual = left.norm() / right_hand_side;
  }
  if (outcome.relative_residual <= tolerance) return outcome;
  if (!coarse_.is_exact()) {
    solve_corners_exactly(*assigned_);
    LinearOutcome again = solve_corrected(correction, b, x, tolerance);
    again.iterations += outcome.iterations;
    return again;
  }
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

/// From r_single_: z_single_ := M^-1 r, and what it leaves, left_single_ := r - A z. Forward half-sweeps,
/// coarse correction, backward half-sweeps.
void TwoLevelSolver::precondition() {
  smoother_.forward(r_single_, z_single_, left_single_);
  coarse_.correct(left_single_, z_single_);
  smoother_.backward(r_single_, z_single_, left_single_);
}

/// z := M^-1 v and image := (A + C) z, by nodes. Coarse correction and half-sweeps back, without the sweeps
/// that come first in precondition(): they would make it symmetric, which minimal residuals do not ask for,
/// and save a seventh of the iterations for twice the time of each.
void TwoLevelSolver::apply(const Eigen::VectorXd& v, const LinearMap& correction, Eigen::VectorXd& z,
                           Eigen::VectorXd& image) {
  r_single_.resize(stride * order_.nodes());
  z_single_.resize(r_single_.size());
  z.resize(v.size());
  image.resize(v.size());
  order_.for_nodes([&](int place, int node) {
    r_single_.segment<stride>(stride * place) << v.segment<3>(3 * node).cast<float>(), 0;
    z_single_.segment<stride>(stride * place).setZero();
  });
  coarse_.correct(r_single_, z_single_);
  smoother_.backward(r_single_, z_single_, left_single_);
  order_.for_nodes([&](int place, int node) {
    z.segment<3>(3 * node) = z_single_.segment<3>(stride * place).cast<double>();
    image.segment<3>(3 * node) =
        v.segment<3>(3 * node) - left_single_.segment<3>(stride * place).cast<double>();
  });
  correction(z, image);
}

/// One iteration of conjugate gradients; false if the matrix shows a direction without positive stiffness.
/// `size` is |r|; rz_before = 0 starts afresh.
bool TwoLevelSolver::step(double& size, double& rz_before) {
  r_single_.resize(r_.size());
  order_.for_parts(
      [&](int first, int count) {  // divided by |r|, to keep clear of the limits of single precision
        r_single_.segment(stride * first, stride * count) =
            (r_.segment(stride * first, stride * count) / size).cast<float>();
      });
  precondition();
  const double rz = size * order_.sum_over_parts([&](int first, int count) {
    return r_.segment(stride * first, stride * count)
        .dot(z_single_.segment(stride * first, stride * count).cast<double>());
  });
  if (!(rz > 0)) return false;
  if (rz_before == 0) {
    p_.setZero(r_.size());
    ap_.setZero(r_.size());
  }
  const double kept = rz_before > 0 ? rz / rz_before : 0;
  rz_before = rz;
  const double curvature = order_.sum_over_parts([&](int first, int count) {
    auto p = p_.segment(stride * first, stride * count);
    auto ap = ap_.segment(stride * first, stride * count);
    p = size * z_single_.segment(stride * first, stride * count).cast<double>() + kept * p;
    ap = r_.segment(stride * first, stride * count) -
         size * left_single_.segment(stride * first, stride * count).cast<double>() + kept * ap;
    for (int place = 0; place < count; ++place) ap(stride * place + 3) = 0;
    return p.dot(ap);
  });
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
Ending TwoLevelSolver::iterate(const BlockMatrix& matrix, const Eigen::VectorXd& b, double target,
                               LinearOutcome& outcome) {
  double start = std::sqrt(dot(r_, r_));
  double size = start, rz_before = 0;
  int iterations = 0;
  bool fresh = renewed_;
  while (!(size <= target)) {
    if (outcome.iterations >= most_iterations_) return Ending::too_many;
    const bool too_coarse = !coarse_.is_exact() && 2 * outcome.iterations > most_iterations_;
    if (too_coarse || (!fresh && renewal_.hopeless(iterations, std::log10(start / size)))) {
      too_coarse ? solve_corners_exactly(matrix) : renew(matrix);
      fresh = true;
      start = size;
      iterations = 0;
      rz_before = 0;
    }
    if (!step(size, rz_before)) return Ending::not_positive;
    ++iterations;
    ++outcome.iterations;
    // Near the target the last look, which comes anyway, will do.
    if (size > 10 * target && size < trusted_ * looked_) size = look(matrix, b);
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

/// r_ := b - A x_; returns its length. Learns from how far r_ was off: products that fall out of single
/// precision make it drift, by 1e-5 of its length at the last look, or 1e-2 where the matrix is poorly
/// conditioned, and more at the start of a solve than later. It is trusted until it is so short that the
/// worst drift of late would be one part in a thousand.
double TwoLevelSolver::look(const BlockMatrix& matrix, const Eigen::VectorXd& b) {
  Eigen::VectorXd image;
  multiply(matrix, order_.by_node(x_), image);
  image = b - image;
  Eigen::VectorXd truth = order_.by_place(image);
  r_ -= truth;
  if (looked_ > 0)
    trusted_ = std::clamp(1000 * std::sqrt(dot(r_, r_)) / looked_, std::max(1e-4, 0.8 * trusted_), 0.3);
  r_.swap(truth);
  looked_ = std::sqrt(dot(r_, r_));
  return looked_;
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
  x_ = order_.by_place(x);
  r_ = order_.by_place(b);
  looked_ = 0;
  if (!x_.isZero(0)) look(matrix, b);
  recycled_.improve(matrix, x_, r_);
  looked_ = std::sqrt(dot(r_, r_));
  const double target = tolerance * right_hand_side;
  double residual = std::numeric_limits<double>::infinity();
  for (bool stuck = false; residual > target && !stuck;) {
    // Aim a little lower than where the true residual is to be.
    if (iterate(matrix, b, 0.9 * target, outcome) != Ending::converged)
      return hand_over(matrix, b, x, tolerance, outcome);
    const double before = std::exchange(residual, look(matrix, b));
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
      static_cast<std::size_t>(stride * order_.nodes()) * (4 * sizeof(double) + 3 * sizeof(float));
  return vectors + structure_->pattern.bytes() + smoother_.bytes() + coarse_.bytes() + recycled_.bytes() +
         (direct_ ? direct_->bytes() : 0);
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
