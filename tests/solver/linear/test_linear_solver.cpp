// The linear solvers against each other and against what they promise. No outside source is needed: the
// direct solver's residual is checked, and the iterative one is compared with it.

#include <omp.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "solver/linear/solve/linear_solver.hpp"
#include "tests/solver/elastic_box.hpp"

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

bool coupled(const BlockMatrix& matrix, int node, int component) {
  const NodeGraph& graph = *matrix.graph;
  for (std::size_t k = graph.row_start[static_cast<std::size_t>(node)];
       k < graph.row_start[static_cast<std::size_t>(node) + 1]; ++k)
    if (graph.column[k] != node && (matrix.values[k].row(component).array() != 0).any()) return true;
  return false;
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

TEST_CASE("the coarse factor and recycled solutions survive a changing system", "[verification][linear]") {
  BoxSystem system({.cells = 6, .upper_placed = false});
  const auto direct = make_direct_solver(system.graph);
  const auto two_level = make_two_level_solver(system.graph);
  // Nothing placed, then placed while soft, then stiffening a thousandfold, then the joint letting go, then
  // taken out.
  std::vector<ElasticBox> history{{.cells = 6, .upper_placed = false}};
  for (const double modulus : {2.0, 3.0, 20.0, 200.0, 2000.0})
    history.push_back({.cells = 6, .upper = modulus});
  for (const double spring : {1e5, 1e3, 1e1})
    history.push_back({.cells = 6, .upper = 2000, .spring = spring});
  history.push_back({.cells = 6, .upper_placed = false});
  for (const ElasticBox& box : history) {
    system.reassemble(box);
    const Eigen::VectorXd expected = solved(*direct, system, 1e-9), found = solved(*two_level, system, 1e-9);
    INFO("upper modulus " << box.upper << ", spring " << box.spring << ", placed " << box.upper_placed);
    CHECK((found - expected).norm() <= 1e-8 * expected.norm());
  }
}

TEST_CASE("a second solve of the same system starts from its solution", "[linear]") {
  const BoxSystem system({});
  const auto solver = make_two_level_solver(system.graph);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  const LinearOutcome first = solver->solve(system.matrix(), system.load, x, 1e-8);
  x.setZero();
  const LinearOutcome second = solver->solve(system.matrix(), 3 * system.load, x, 1e-8);
  CHECK(first.factorised);
  CHECK_FALSE(second.factorised);
  CHECK(first.iterations > 5);
  CHECK(second.iterations <= 2);
}

TEST_CASE("held degrees of freedom take the value asked for", "[linear]") {
  const BoxSystem system({});
  const BlockMatrix matrix = system.matrix();
  const Eigen::Vector3d move(0.01, -0.02, 0.03);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  Eigen::VectorXd b = Eigen::VectorXd::Zero(system.load.size());
  for (int node = 0; node < system.nodes(); ++node)
    for (int i = 0; i < 3; ++i)
      if (!coupled(matrix, node, i)) b(3 * node + i) = 1e4 * move(i);
  const auto solver = make_two_level_solver(system.graph);
  CHECK(solver->solve(matrix, b, x, 1e-11).relative_residual <= 1e-11);
  for (int node = 0; node < system.nodes(); ++node)
    for (int i = 0; i < 3; ++i)
      if (!coupled(matrix, node, i)) CHECK(x(3 * node + i) == Approx(move(i)).epsilon(1e-9));
}

TEST_CASE("the result has the same bits on one and two threads", "[determinism][linear]") {
  const BoxSystem system({.cells = 12});
  std::vector<Eigen::VectorXd> found;
  for (const int threads : {1, 2, 3}) {
    omp_set_num_threads(threads);
    const BoxSystem same({.cells = 12});
    const auto solver = make_two_level_solver(same.graph);
    found.push_back(solved(*solver, same, 1e-8));
    found.back().conservativeResize(found.back().size() + same.load.size());
    found.back().tail(same.load.size()) = solved(*solver, same, 1e-8);
  }
  omp_set_num_threads(omp_get_num_procs());
  CHECK(found[0] == found[1]);
  CHECK(found[0] == found[2]);
}

TEST_CASE("too many iterations hand over to the direct solver", "[linear]") {
  const BoxSystem system({});
  const auto solver = make_two_level_solver(system.graph, /*most_iterations=*/3);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  const LinearOutcome outcome = solver->solve(system.matrix(), system.load, x, 1e-11);
  CHECK(outcome.fell_back);
  CHECK(outcome.iterations == 3);
  CHECK(relative_residual(system.matrix(), system.load, x) <= 1e-11);
}

TEST_CASE("a matrix that is not positive definite is refused with the place", "[linear]") {
  const BoxSystem system({.spring = -1e4});  // a joint that pushes instead of pulling
  const auto solver = GENERATE(0, 1) ? make_direct_solver(system.graph) : make_two_level_solver(system.graph);
  INFO(solver->name());
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  CHECK_THROWS_WITH(solver->solve(system.matrix(), system.load, x, 1e-8),
                    Catch::Contains("not positive definite") && Catch::Contains("node"));
}

TEST_CASE("a body that nothing holds is refused", "[linear]") {
  const BoxSystem system({.spring = 0});
  const auto solver = GENERATE(0, 1) ? make_direct_solver(system.graph) : make_two_level_solver(system.graph);
  INFO(solver->name());
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  CHECK_THROWS_AS(solver->solve(system.matrix(), system.load, x, 1e-8), std::runtime_error);
}

TEST_CASE("a right-hand side that is not a number is refused", "[linear]") {
  const BoxSystem system({});
  const auto solver = make_two_level_solver(system.graph);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size()), b = system.load;
  b(17) = std::nan("");
  CHECK_THROWS_WITH(solver->solve(system.matrix(), b, x, 1e-8), Catch::Contains("not a number"));
}

}  // namespace setstress
