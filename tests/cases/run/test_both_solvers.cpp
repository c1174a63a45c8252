// The iterative and the direct linear solver give the same answers on the ready-made cases, and the iterative
// one stays quick and never needs help. No outside source is needed.

#include <algorithm>
#include <catch2/catch.hpp>

#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/run/run_settings.hpp"

namespace setstress {
namespace {

/// On a mesh coarser than any user's.
Case ready_made(const std::string& name, Mode mode) {
  return case_for(name, {.mode = mode, .fineness = "2", .solver = LinearSolver::two_level, .threads = 1});
}

/// What is compared of one step.
struct Step {
  double time;                             ///< [s]
  Eigen::VectorXd displacement, traction;  ///< of all nodes [mm], of all points of the bond [MPa]
};

struct Solved {
  std::vector<Step> steps;
  Timings timings;
};

Solved solved(const Case& input, const Model& model) {
  Solved result;
  const Outcome outcome = simulate(model, input.solver, [&](const Frame& frame, const Progress&) {
    Eigen::VectorXd traction(18 * static_cast<Eigen::Index>(frame.bond.size()));
    Eigen::Index at = 0;
    for (const auto& facet : frame.bond)
      for (const BondPoint& point : facet) {
        traction.segment<3>(at) = point.traction;
        at += 3;
      }
    result.steps.push_back({frame.time, frame.displacement, traction});
    return true;
  });
  result.timings = outcome.timings;
  return result;
}

/// With the other linear solver, at the instants of a run before.
Case direct_at(Case input, const std::vector<Step>& steps) {
  input.solver.linear_solver = LinearSolver::direct;
  for (const Step& step : steps) input.solver.instants.push_back(step.time);
  return input;
}

/// Largest difference at any instant over the largest value at any.
double difference(const std::vector<Step>& found, const std::vector<Step>& expected,
                  Eigen::VectorXd Step::*field) {
  double largest = 0, apart = 0;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    largest = std::max(largest, (expected[i].*field).norm());
    apart = std::max(apart, (found[i].*field - expected[i].*field).norm());
  }
  REQUIRE(largest > 0);
  return apart / largest;
}

/// Whole runs with both solvers at the same instants, compared at every one, and one as users have it, whose
/// iterations are counted. A bond that lets go magnifies what is out of balance a thousandfold at most on
/// these cases, so balance to 1e-12 leaves 1e-8 wanted of the solvers. A step may have several equilibria:
/// corrections to 1e-4 take both to the same one.
void check_same_answers(const std::string& name, Mode mode) {
  INFO(name << (mode == Mode::intact ? ", intact" : ", debonding"));
  const Case usual = ready_made(name, mode);
  const Model model = pose(usual);
  Case exact = usual;
  exact.solver.equilibrium_tolerance = exact.solver.linear_tolerance = 1e-12;
  exact.solver.loosest_correction = 1e-4;
  const Solved iterative = solved(exact, model);
  const Solved direct = solved(direct_at(exact, iterative.steps), model);
  REQUIRE(iterative.steps.size() == direct.steps.size());
  for (std::size_t i = 0; i < direct.steps.size(); ++i)
    REQUIRE(iterative.steps[i].time == Approx(direct.steps[i].time).epsilon(1e-12));
  CHECK(difference(iterative.steps, direct.steps, &Step::displacement) <= 1e-8);
  CHECK(difference(iterative.steps, direct.steps, &Step::traction) <= 1e-8);
  CHECK(10 * iterative.timings.direct_fallbacks < iterative.timings.linear_solves);
  const Timings counted = solved(usual, model).timings;
  CHECK(counted.direct_fallbacks == 0);
  CHECK(counted.most_linear_iterations < 60);
}

const std::vector<std::string> quick{"ball-in-shell", "bimaterial-strip", "butt-joint", "disc-between-plates",
                                     "plug-in-ring"};

}  // namespace

TEST_CASE("both linear solvers give the same answers on specimens that hold and that let go",
          "[verification][linear]") {
  for (const std::string& name : quick)
    for (const Mode mode : {Mode::intact, Mode::debonding}) check_same_answers(name, mode);
}

TEST_CASE("both linear solvers give the same answers on a deep box", "[verification][linear]") {
  check_same_answers("deep-box-bulk", Mode::intact);
}

TEST_CASE("both linear solvers give the same answers on all ready-made cases",
          "[.][long][verification][linear]") {
  for (const auto& file : ready_made_cases())
    for (const Mode mode : {Mode::intact, Mode::debonding})
      if (std::find(quick.begin(), quick.end(), file.stem().string()) == quick.end())
        check_same_answers(file.stem().string(), mode);
}

}  // namespace setstress
