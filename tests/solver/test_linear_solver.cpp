// The linear solvers against each other and against what they promise. No outside source is needed: the
// direct solver's residual is checked, and the iterative one is compared with it.

#include <omp.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "elastic_box.hpp"
#include "solver/linear_solver.hpp"

namespace setstress {
namespace {

using testing::BoxSystem;
using testing::ElasticBox;

double relative_residual(const BlockMatrix& matrix, const Eigen::VectorXd& b, const Eigen::VectorXd& x) {
  Eigen::VectorXd product;
  multiply(matrix, x, product);
  return (b - product).norm() / b.norm();
}

Eigen::VectorXd solved(LinearSystemSolver& solver, const BoxSystem& system, double tolerance = 1e-11) {
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  const LinearOutcome outcome = solver.solve(system.matrix(), system.load, x, tolerance);
  INFO(solver.name() << ": " << outcome.iterations << " iterations");
  CHECK_FALSE(outcome.fell_back);
  CHECK(outcome.relative_residual <= tolerance);
  CHECK(relative_residual(system.matrix(), system.load, x) <= 1.01 * tolerance);
  return x;
}

}  // namespace

TEST_CASE("two-level and direct solvers agree", "[verification][linear]") {
  const ElasticBox box = GENERATE(ElasticBox{.upper = 20e3, .spring = 1e5}, ElasticBox{.upper = 2},
                                  ElasticBox{.upper = 2, .nu = 0.49}, ElasticBox{.cells = 8, .spring = 1e6},
                                  ElasticBox{.spring = 10}, ElasticBox{.upper_placed = false});
  const BoxSystem system(box);
  const auto direct = make_direct_solver(system.graph);
  const auto two_level = make_two_level_solver(system.graph);
  const Eigen::VectorXd expected = solved(*direct, system), found = solved(*two_level, system);
  // The softest direction is 1e4 to 1e6 softer than the stiffest: a residual of 1e-11 leaves an error below
  // 1e-8 where the load excites both.
  CHECK((found - expected).norm() <= 1e-8 * expected.norm());
}

}  // namespace setstress
