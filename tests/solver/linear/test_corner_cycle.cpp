// The nearly exact solve on the corner nodes of large meshes, forced on small ones: what it leaves of an
// error, that it is a symmetric positive definite map, and that iterations with it stay as few.

#include <omp.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>

#include "solver/linear/coarse/coarse_level.hpp"
#include "solver/linear/coarse/rigid_aggregates.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "solver/linear/solve/two_level_structure.hpp"
#include "tests/solver/elastic_box.hpp"

namespace setstress {
namespace {

using testing::BoxSystem;
using testing::ElasticBox;

constexpr int none = 0;  // corners factorised at most

/// P (P' A P)^-1 P' r, exactly or nearly.
Eigen::VectorXd corrected(CoarseLevel& coarse, const SweepOrder& order, const Eigen::VectorXd& r) {
  const Eigen::VectorXf single = order.by_place(r).cast<float>();
  Eigen::VectorXf z = Eigen::VectorXf::Zero(single.size());
  coarse.correct(single, z);
  return order.by_node(z.cast<double>());
}

double energy(const BlockMatrix& matrix, const Eigen::VectorXd& x) {
  Eigen::VectorXd image;
  multiply(matrix, x, image);
  return x.dot(image);
}

int iterations(const BoxSystem& system, int most_factorised, double tolerance) {
  Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
  const LinearOutcome outcome =
      make_two_level_solver(std::make_shared<const TwoLevelStructure>(system.graph, most_factorised))
          ->solve(system.matrix(), system.load, x, tolerance);
  CHECK_FALSE(outcome.fell_back);
  CHECK(outcome.relative_residual <= tolerance);
  return outcome.iterations;
}

}  // namespace

TEST_CASE("two cycles leave little of what the exact solve takes away", "[linear]") {
  const BoxSystem system({.cells = 10, .lower = 20e3, .upper = 1000, .spring = 1e5});
  const BlockMatrix matrix = system.matrix();
  const SweepOrder order = make_sweep_order(system.graph);
  CoarseLevel exact(system.graph, order), nearly(system.graph, order, none);
  CHECK(exact.is_exact());
  CHECK_FALSE(nearly.is_exact());
  exact.renew(matrix);
  nearly.renew(matrix);
  const Eigen::VectorXd expected = corrected(exact, order, system.load);
  const Eigen::VectorXd found = corrected(nearly, order, system.load);
  const double left = std::sqrt(energy(matrix, found - expected) / energy(matrix, expected));
  CAPTURE(left);
  CHECK(left < 0.35);
  CHECK(left > 1e-4);  // or it would be the exact solve
  nearly.solve_exactly();
  CHECK_FALSE(nearly.fits(matrix));
  nearly.renew(matrix);
  CHECK(nearly.is_exact());
  CHECK((corrected(nearly, order, system.load).array() == expected.array()).all());
}

TEST_CASE("the cycles are a symmetric positive definite map that overshoots by a sixth at most", "[linear]") {
  const BoxSystem system({.cells = 8, .lower = 20e3, .upper = 2, .spring = 1e5});
  const BlockMatrix matrix = system.matrix();
  const SweepOrder order = make_sweep_order(system.graph);
  CoarseLevel exact(system.graph, order), nearly(system.graph, order, none);
  exact.renew(matrix);
  nearly.renew(matrix);
  const std::vector<char> coupled = coupled_unknowns(matrix);
  for (int seed = 1; seed <= 5; ++seed) {
    std::srand(static_cast<unsigned>(seed));
    Eigen::VectorXd a = Eigen::VectorXd::Random(system.load.size()), b = a.reverse();
    for (Eigen::Index i = 0; i < a.size(); ++i)
      if (!coupled[static_cast<std::size_t>(i)]) a(i) = b(i) = 0;
    const Eigen::VectorXd of_a = corrected(nearly, order, a), of_b = corrected(nearly, order, b);
    const double scale = std::sqrt(a.dot(of_a) * b.dot(of_b));
    CHECK(std::abs(a.dot(of_b) - b.dot(of_a)) <= 1e-4 * scale);
    CHECK(a.dot(of_a) > 0);
    // Chebyshev's polynomial of degree 2 takes away 1.17 times an error's energy at most.
    CHECK(a.dot(of_a) < 1.18 * a.dot(corrected(exact, order, a)));
  }
}

TEST_CASE("the cycles give the same bits on one thread and on four", "[linear]") {
  const BoxSystem system({.cells = 20, .lower = 20e3, .upper = 1000, .spring = 1e5});
  const SweepOrder order = make_sweep_order(system.graph);
  std::array<Eigen::VectorXd, 2> found;
  const int before = omp_get_max_threads();
  for (const int threads : {1, 4}) {
    omp_set_num_threads(threads);
    CoarseLevel nearly(system.graph, order, none);
    nearly.renew(system.matrix());
    found[threads > 1] = corrected(nearly, order, system.load);
  }
  omp_set_num_threads(before);
  CHECK((found[0].array() == found[1].array()).all());
}

TEST_CASE("rigid aggregates know every rigid motion of a body on its bond", "[linear]") {
  const BoxSystem system({.cells = 8, .lower = 20e3, .upper = 1000, .spring = 100});
  const BlockMatrix matrix = system.matrix();
  const SweepOrder order = make_sweep_order(system.graph);
  std::vector<std::array<int, 2>> edges;  // none from body to body
  Eigen::VectorXd moved = Eigen::VectorXd::Zero(system.load.size());
  for (int node = 0; node < system.nodes(); ++node) {
    const auto n = static_cast<std::size_t>(node);
    for (const int parent : system.parents[n])
      if (parent != node) edges.push_back({node, parent});
    if (system.upper_node[n])
      moved.segment<3>(3 * node) =
          Eigen::Vector3d(1, -2, 0.5) + Eigen::Vector3d(0.3, 2, -1).cross(system.mesh.nodes[n]);
  }
  RigidAggregates aggregates(system.graph, order, edges);
  CHECK(aggregates.size() > 50);
  CHECK(aggregates.size() < system.nodes() / 5);
  aggregates.renew(matrix, coupled_unknowns(matrix));
  Eigen::VectorXd force;
  multiply(matrix, moved, force);
  const Eigen::VectorXf residual = order.by_place(force).cast<float>();
  Eigen::VectorXf z = Eigen::VectorXf::Zero(residual.size());
  aggregates.correct(residual, z);
  const double error = (order.by_node(z.cast<double>()) - moved).norm() / moved.norm();
  CAPTURE(error);
  CHECK(error < 1e-3);  // the factor has two bytes an entry
}

TEST_CASE("where two cycles take too many iterations, the corners are factorised from then on", "[linear]") {
  const BoxSystem system({.cells = 6, .lower = 20e3, .upper = 1000, .spring = 1e5});
  const BlockMatrix matrix = system.matrix();
  const LinearMap nothing = [](const Eigen::VectorXd&, Eigen::VectorXd&) {};
  const bool corrected_first = GENERATE(false, true);
  // What a few iterations find, after a solve that takes 16 or so; their bits tell which coarse solve it was.
  const auto after_a_solve = [&](int most_factorised, int most_iterations) {
    const auto solver = make_two_level_solver(
        std::make_shared<const TwoLevelStructure>(system.graph, most_factorised), most_iterations);
    Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size());
    solver->assign(matrix);
    const LinearOutcome first = corrected_first ? solver->solve_corrected(nothing, system.load, x, 1e-8)
                                                : solver->solve(matrix, system.load, x, 1e-8);
    CHECK(first.iterations > 10);
    CHECK(first.relative_residual <= 1e-8);
    if (!corrected_first) CHECK_FALSE(first.fell_back);
    solver->assign(matrix);
    CHECK_FALSE(solver->solve_corrected(nothing, system.load, x, 0.1).fell_back);
    return x;
  };
  const Eigen::VectorXd exact = after_a_solve(CoarseLevel::corners_worth_a_factor, 150),
                        nearly = after_a_solve(none, 150),
                        changed = after_a_solve(none, corrected_first ? 12 : 20);
  CHECK((exact.array() != nearly.array()).any());
  CHECK((exact.array() == changed.array()).all());
}

TEST_CASE("iterations with two cycles instead of an exact coarse solve", "[linear][iterations]") {
  for (const ElasticBox& box :
       {ElasticBox{.cells = 10, .lower = 20e3, .upper = 1000, .spring = 1e5},
        ElasticBox{.cells = 10, .lower = 20e3, .upper = 2, .spring = 1e5},
        ElasticBox{.cells = 10, .lower = 20e3, .upper = 2, .spring = 1e6},
        ElasticBox{.cells = 10, .lower = 20e3, .upper = 1000, .nu = 0.49, .spring = 1e5},
        ElasticBox{.cells = 10, .lower = 20e3, .upper = 2, .nu = 0.49, .spring = 1e6},
        ElasticBox{.cells = 10, .upper = 1000, .spring = 1e5, .squeezed = 0.95},
        ElasticBox{.cells = 10, .upper = 2, .spring = 1e6, .upper_placed = false}}) {
    const BoxSystem system(box);
    INFO("moduli " << box.lower << " and " << box.upper << " MPa, nu " << box.nu << ", film " << box.spring
                   << " N/mm3, squeezed " << box.squeezed);
    const int exact = iterations(system, CoarseLevel::corners_worth_a_factor, 1e-8),
              nearly = iterations(system, none, 1e-8);
    CAPTURE(exact);
    CHECK(nearly < 60);
    CHECK(nearly <= 1.3 * exact);
  }
}

}  // namespace setstress
