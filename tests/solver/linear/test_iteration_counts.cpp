// How many iterations the two-level solver takes from a cold start where systems are hard: stiffness
// contrast, stiff films, nearly incompressible filling, poor elements. The limit of 60 is what the solver
// promises; solver/README.md lists the counts.

#include <catch2/catch.hpp>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "tests/solver/elastic_box.hpp"

namespace setstress {
namespace {

using testing::BoxSystem;
using testing::ElasticBox;

void check_iterations(const ElasticBox& box) {
  const BoxSystem system(box);
  const BlockMatrix matrix = system.matrix();
  INFO("moduli " << box.lower << " and " << box.upper << " MPa, nu " << box.nu << ", film " << box.spring
                 << " N/mm3, squeezed " << box.squeezed << ", " << box.cells << " cells");
  for (const double tolerance : {1e-8, 1e-9}) {
    Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
    const LinearOutcome outcome =
        make_two_level_solver(system.graph)->solve(matrix, system.load, x, tolerance);
    CHECK_FALSE(outcome.fell_back);
    CHECK(outcome.iterations < 60);
    CHECK(outcome.iterations > 1);
    CHECK(outcome.relative_residual <= tolerance);
  }
}

}  // namespace

TEST_CASE("fewer than 60 iterations at a stiffness contrast of 10000", "[linear][iterations]") {
  for (const int cells : {6, 10})
    check_iterations({.cells = cells, .lower = 20e3, .upper = 2, .spring = 1e5});
}

TEST_CASE("fewer than 60 iterations with a film of 1e6 N/mm3, on stiff and on soft filling",
          "[linear][iterations]") {
  for (const int cells : {6, 10})
    for (const double upper : {2.0, 1000.0})
      check_iterations({.cells = cells, .lower = 20e3, .upper = upper, .spring = 1e6});
}

TEST_CASE("fewer than 60 iterations at a Poisson ratio of 0.49, with contrast and stiff film too",
          "[linear][iterations]") {
  for (const int cells : {6, 10}) {
    check_iterations({.cells = cells, .lower = 20e3, .upper = 1000, .nu = 0.49, .spring = 1e5});
    check_iterations({.cells = cells, .lower = 20e3, .upper = 2, .nu = 0.49, .spring = 1e6});
  }
}

TEST_CASE("fewer than 60 iterations with poor elements in the mesh", "[linear][iterations]") {
  const ElasticBox box = GENERATE(ElasticBox{.cells = 6, .upper = 1000, .spring = 1e5, .squeezed = 0.95},
                                  ElasticBox{.cells = 10, .upper = 1000, .spring = 1e5, .squeezed = 0.95});
  const double worst = worst_quality(BoxSystem(box).mesh).mean_ratio;
  CHECK(worst > 0);    // none is inverted
  CHECK(worst < 0.1);  // a regular tetrahedron has 1
  check_iterations(box);
}

}  // namespace setstress
