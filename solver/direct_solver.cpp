#include <fmt/format.h>

#include "solver/block_cholesky.hpp"
#include "solver/linear_solver.hpp"

namespace setstress {

NotPositiveDefinite::NotPositiveDefinite(int node_, int component_)
    : std::runtime_error(fmt::format(
          "stiffness matrix is not positive definite: found at node {}, {} direction; must be so everywhere. "
          "A body that nothing holds, or a bond that softens faster than its surroundings can follow: add a "
          "support or take a smaller step.",
          node_, "xyz"[component_])),
      node(node_),
      component(component_) {}

namespace {

class DirectSolver final : public LinearSystemSolver {
 public:
  explicit DirectSolver(const NodeGraph& graph) : cholesky_({graph.nodes, graph.row_start, graph.column}) {}

  LinearOutcome solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                      double tolerance) override {
    cholesky_.factorise(matrix.values);
    cholesky_.solve(b, x);
    const double right_hand_side = b.norm();
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
    throw std::runtime_error(
        fmt::format("direct solver: relative residual {:.2e} after refinement; must be <= {:.1e}. "
                    "Stiffnesses that differ too much, or a value that is not a number.",
                    residual / right_hand_side, tolerance));
  }

  [[nodiscard]] std::string name() const override { return "direct (supernodal Cholesky, METIS)"; }
  [[nodiscard]] std::size_t bytes() const override { return cholesky_.bytes(); }

 private:
  BlockCholesky cholesky_;
  Eigen::VectorXd product_, correction_;
};

}  // namespace

std::unique_ptr<LinearSystemSolver> make_direct_solver(const NodeGraph& graph) {
  return std::make_unique<DirectSolver>(graph);
}

}  // namespace setstress
