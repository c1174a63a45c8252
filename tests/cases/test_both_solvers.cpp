// The iterative and the direct linear solver give the same answers on the ready-made cases, and the iterative
// one stays quick and never needs help. No outside source is needed.

#include <algorithm>
#include <catch2/catch.hpp>

#include "cases/commands.hpp"
#include "cases/pose.hpp"

namespace setstress {
namespace {

/// On a mesh coarser than any user's.
Case ready_made(const std::string& name, Mode mode, LinearSolver solver) {
  Case input = case_for(name, {.mode = mode, .fineness = "2", .solver = solver, .threads = 1});
  return input;
}

struct Solved {
  std::vector<Eigen::VectorXd> displacements;  ///< at every step
  Timings timings;
};

Solved solved(const Case& input, const Model& model) {
  Solved result;
  const Outcome outcome = simulate(model, input.solver, [&](const Frame& frame, const Progress&) {
    result.displacements.push_back(frame.displacement);
    return true;
  });
  result.timings = outcome.timings;
  return result;
}

/// Balanced so well that what is left is what the linear solvers differ by.
Case exact(Case input) {
  input.solver.equilibrium_tolerance = 1e-11;
  input.solver.linear_tolerance = 1e-12;
  return input;
}

/// Whole runs with both solvers, compared at every step, and one as users have it, whose iterations are
/// counted.
void check_same_answers(const std::string& name, Mode mode) {
  INFO(name << (mode == Mode::intact ? ", intact" : ", debonding"));
  const Case input = ready_made(name, mode, LinearSolver::two_level);
  const Model model = pose(input);
  const Solved iterative = solved(exact(input), model);
  const Solved direct = solved(exact(ready_made(name, mode, LinearSolver::direct)), model);
  REQUIRE(iterative.displacements.size() == direct.displacements.size());
  double largest = 0, difference = 0;
  for (std::size_t step = 0; step < direct.displacements.size(); ++step) {
    largest = std::max(largest, direct.displacements[step].norm());
    difference = std::max(difference, (iterative.displacements[step] - direct.displacements[step]).norm());
  }
  CHECK(largest > 0);
  CHECK(difference <= 1e-8 * largest);
  const Timings usual = solved(input, model).timings;
  CHECK(usual.direct_fallbacks == 0);
  CHECK(usual.most_linear_iterations < 60);
}

}  // namespace

TEST_CASE("both linear solvers give the same answers on a deep box and in a mould",
          "[verification][linear]") {
  for (const char* name : {"deep-box-floor-layer", "flexing-mould"}) check_same_answers(name, Mode::intact);
}

}  // namespace setstress
