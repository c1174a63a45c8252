#include <fmt/format.h>

#include <cmath>

#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/solve/linear_solver.hpp"

namespace setstress {

namespace {

class DirectSolver final : public LinearSystemSolver {
 public:
  explicit DirectSolver(const NodeGraph& graph) : cholesky_({graph.nodes, graph.row_start, graph.column}) {}

  LinearOutcome solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                      double tolerance) override {
    assign(matrix);
    cholesky_.solve(b, x);
    const double right_hand_side = b.norm();
    if (!std::isfinite(right_hand_side))
      throw std::runtime_error("linear system: the right-hand side is not a number");
    double residual = 0;
    for (int refinement = 0; refinement < 4; ++refinement) {
      multiply(matrix, x, product_);
      product_ = b - product_;
      residual = product_.norm();
      if (residual <= tolerance * right_hand_side)
        return {.relative_residual = right_hand_side > 0 ? residual / right_hand_side : 0,
                .factorised = true};
      cholesky_.solve(product_, correction_);
      x += correction_;
    }
    if (residual <= round_off(matrix, x))
      return {.relative_residual = residual / right_hand_side, .factorised = true};
    throw std::runtime_error(
        fmt::format("direct solver: relative residual {:.2e} after refinement; must be <= {:.1e}. "
                    "Stiffnesses that differ too much, or a value that is not a number.",
                    residual / right_hand_side, tolerance));
  }

  void assign(const BlockMatrix& matrix) override {
    matrix_ = &matrix;
    cholesky_.factorise(matrix.values);
  }

  LinearOutcome solve_corrected(const LinearMap& correction, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                                double tolerance) override {
    const GmresOutcome found = flexible_gmres(
        [&](const Eigen::VectorXd& v, Eigen::VectorXd& z, Eigen::VectorXd& image) {
          cholesky_.solve(v, z);
          multiply(*matrix_, z, image);
          correction(z, image);
        },
        b, x, tolerance, most_corrected_iterations);
    return {.iterations = found.iterations, .relative_residual = found.relative_residual};
  }

  [[nodiscard]] std::string name() const override { return "direct (supernodal Cholesky, METIS)"; }
  [[nodiscard]] std::size_t bytes() const override { return cholesky_.bytes(); }

 private:
  BlockCholesky cholesky_;
  const BlockMatrix* matrix_ = nullptr;
  Eigen::VectorXd product_, correction_;
};

}  // namespace

std::unique_ptr<LinearSystemSolver> make_direct_solver(const NodeGraph& graph) {
  return std::make_unique<DirectSolver>(graph);
}

}  // namespace setstress
