// Generalised minimal residuals against dense elimination, and the corrected solve of both linear solvers.

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "solver/linear/solve/linear_solver.hpp"
#include "tests/solver/elastic_box.hpp"

namespace setstress {
namespace {

/// Not preconditioned.
PreconditionedProduct product_with(const Eigen::MatrixXd& matrix) {
  return [&matrix](const Eigen::VectorXd& v, Eigen::VectorXd& z, Eigen::VectorXd& image) {
    z = v;
    image = matrix * z;
  };
}

/// Enough on the diagonal to be regular, with entries of both signs on the diagonal.
Eigen::MatrixXd unsymmetric(int n) {
  Eigen::MatrixXd a(n, n);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) a(i, j) = std::sin(i * i + 5 * i * j + 7 * j * j);
  a.diagonal().array() += n;
  a(0, 0) *= -1;
  return a;
}

}  // namespace

TEST_CASE("minimal residuals end at the solution of a small system", "[verification][linear]") {
  const int n = 20;
  const Eigen::MatrixXd a = unsymmetric(n);
  const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(n, -1, 2);
  Eigen::VectorXd x;
  const GmresOutcome outcome = flexible_gmres(product_with(a), b, x, 1e-12, n);
  CHECK(outcome.relative_residual <= 1e-12);
  const Eigen::VectorXd expected = a.partialPivLu().solve(b);
  CHECK((x - expected).norm() <= 1e-11 * expected.norm());  // the matrix is well conditioned
}

TEST_CASE("minimal residuals keep the best they have when stopped", "[linear]") {
  const Eigen::MatrixXd a = unsymmetric(20);
  const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(20, -1, 2);
  double before = 1;
  for (const int most : {1, 2, 4, 7}) {
    Eigen::VectorXd x;
    const GmresOutcome outcome = flexible_gmres(product_with(a), b, x, 1e-12, most);
    CHECK(outcome.iterations == most);
    CHECK((b - a * x).norm() == Approx(outcome.relative_residual * b.norm()).epsilon(1e-9));
    CHECK(outcome.relative_residual < before);
    before = outcome.relative_residual;
  }
}

TEST_CASE("a singular matrix leaves x as it was", "[linear]") {
  const Eigen::MatrixXd zero = Eigen::MatrixXd::Zero(5, 5);
  Eigen::VectorXd x;
  const GmresOutcome outcome = flexible_gmres(product_with(zero), Eigen::VectorXd::Ones(5), x, 1e-6, 5);
  CHECK(outcome.relative_residual == 1);
  CHECK(x.isZero());
}

namespace {

/// Springs between three pairs of twin nodes turn from 1e5 to -1e3 N/mm3 normal to the joint and shear into
/// each other.
LinearMap letting_go(const testing::BoxSystem& system, const BlockMatrix& matrix) {
  Eigen::Matrix3d change = Eigen::Matrix3d::Zero();
  change(2, 2) = -1.01 * matrix.values[matrix.graph->position(system.ties[5][0], system.ties[5][1])].norm();
  change(0, 1) = 0.3 * change(2, 2);
  return [&system, change](const Eigen::VectorXd& x, Eigen::VectorXd& y) {
    for (const int tie : {5, 6, 7}) {
      const auto pair = system.ties[tie];
      const Eigen::Vector3d force = change * (x.segment<3>(3 * pair[1]) - x.segment<3>(3 * pair[0]));
      y.segment<3>(3 * pair[1]) += force;
      y.segment<3>(3 * pair[0]) -= force;
    }
  };
}

/// Solves with the correction to 1e-6 and checks that.
LinearOutcome checked(LinearSystemSolver& solver, const testing::BoxSystem& system) {
  const BlockMatrix matrix = system.matrix();
  const LinearMap correction = letting_go(system, matrix);
  INFO(solver.name());
  Eigen::VectorXd x, product;
  solver.assign(matrix);
  const LinearOutcome outcome = solver.solve_corrected(correction, system.load, x, 1e-6);
  multiply(matrix, x, product);
  correction(x, product);
  CHECK(outcome.relative_residual <= 1e-6);
  CHECK((system.load - product).norm() <= 1.01e-6 * system.load.norm());
  return outcome;
}

}  // namespace

TEST_CASE("both solvers solve a corrected system that is neither symmetric nor positive", "[linear]") {
  const testing::BoxSystem system({.spring = 1e5});
  const auto solver = GENERATE(0, 1) ? make_direct_solver(system.graph) : make_two_level_solver(system.graph);
  const LinearOutcome outcome = checked(*solver, system);
  CHECK(outcome.iterations > 1);
  CHECK_FALSE(outcome.fell_back);
}

TEST_CASE("a corrected system without load is not worked on", "[linear]") {
  const testing::BoxSystem system({.spring = 1e5});
  const BlockMatrix matrix = system.matrix();
  const auto solver = GENERATE(0, 1) ? make_direct_solver(system.graph) : make_two_level_solver(system.graph);
  solver->assign(matrix);
  Eigen::VectorXd x = system.load;
  const Eigen::VectorXd nothing = Eigen::VectorXd::Zero(system.load.size());
  const double tolerance = GENERATE(1e-6, 0.1);
  const LinearOutcome outcome = solver->solve_corrected(letting_go(system, matrix), nothing, x, tolerance);
  CHECK(outcome.iterations == 0);
  CHECK(outcome.relative_residual == 0);
  CHECK_FALSE(outcome.fell_back);
  CHECK(x.isZero(0));
}

TEST_CASE("a corrected system that an old coarse factor does not bring through gets a new one", "[linear]") {
  testing::BoxSystem system({.upper = 2, .spring = 1e5});
  const auto solver = make_two_level_solver(system.graph);
  CHECK(checked(*solver, system).factorised);
  CHECK_FALSE(checked(*solver, system).factorised);
  system.reassemble({.upper = 20e3, .spring = 1e5});
  const BlockMatrix matrix = system.matrix();
  Eigen::VectorXd x, product;
  solver->assign(matrix);
  const LinearOutcome outcome =
      solver->solve_corrected([](const Eigen::VectorXd&, Eigen::VectorXd&) {}, system.load, x, 1e-5);
  CHECK(outcome.factorised);
  CHECK(outcome.iterations > most_corrected_iterations / 2);
  CHECK(outcome.iterations < most_corrected_iterations);
  CHECK_FALSE(outcome.fell_back);
  multiply(matrix, x, product);
  CHECK((system.load - product).norm() <= 1e-5 * system.load.norm());
}

TEST_CASE("too many iterations on a corrected system hand over to the direct solver", "[linear]") {
  const testing::BoxSystem system({.spring = 1e5});
  const auto solver = make_two_level_solver(system.graph, /*most_iterations=*/3);
  const LinearOutcome outcome = checked(*solver, system);
  CHECK(outcome.fell_back);
  CHECK(outcome.iterations == 3);
}

}  // namespace setstress
