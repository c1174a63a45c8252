// A whole debonding run, time stepping and bond included, against the same run with the direct solver.

#include <fmt/format.h>
#include <omp.h>

#include "solver/bench/benchmark_model.hpp"
#include "solver/bench/clock.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "solver/run/simulate.hpp"

namespace setstress::bench {

namespace {

/// Wall and processor seconds of a run and what it did.
struct Debonded {
  Outcome outcome;
  double wall, processor;
};

Debonded run(const Model& model, LinearSolver solver, const Options& options) {
  const Clock clock;
  const Outcome outcome =
      simulate(model, {.mode = Mode::debonding, .linear_solver = solver, .threads = options.threads},
               [](const Frame&, const Progress&) { return true; });
  return {outcome, clock.seconds(), clock.processor_seconds()};
}

/// Seconds of one direct solve on the same mesh, by the clock that the ratio uses.
double direct_solve_seconds(const Workload& work, const Options& options) {
  BlockMatrix matrix = work.begin_steps();
  work.assemble_step(Workload::steps, matrix);
  const auto solver = make_direct_solver(work.graph);
  set_factor_threads(options.threads);
  const Eigen::VectorXd load = work.load(Workload::steps);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(load.size());
  const Clock clock;
  solver->solve(matrix, load, x, 1e-8);
  set_factor_threads(1);
  return options.threads == 1 ? clock.processor_seconds() : clock.seconds();
}

Reading debonding_ratio(const Options& options) {
  omp_set_num_threads(options.threads);
  const Workload work = Workload::of_about(50'000);
  const Model model = benchmark_model(work.mesh());
  const Debonded ours = run(model, LinearSolver::two_level, options);
  const Timings& timings = ours.outcome.timings;
  const double our_seconds = options.threads == 1 ? ours.processor : ours.wall;
  double theirs = 0;
  if (options.full) {
    const Debonded reference = run(model, LinearSolver::direct, options);
    theirs = options.threads == 1 ? reference.processor : reference.wall;
  } else {
    const double outside = our_seconds * (1 - timings.linear_solve / ours.wall);
    theirs = outside + timings.linear_solves * direct_solve_seconds(work, options);
  }
  return {
      theirs / our_seconds,
      fmt::format(
          "{} unknowns, {} steps, {} solves ({} iterations, {} fallbacks): {:.0f} s, of which {:.0f} % in "
          "linear solves, against {:.0f} s{}",
          work.unknowns(), timings.steps, timings.linear_solves, timings.linear_iterations,
          timings.direct_fallbacks, our_seconds, 100 * timings.linear_solve / ours.wall, theirs,
          options.full ? "" : " (one direct solve run, the others scaled)")};
}

}  // namespace

std::vector<Measure> debonding_measures() {
  return {{"debonding_50k.ratio", "x",
           "a whole debonding run, 50,000 unknowns, against the same run with the direct solver", 15, true,
           debonding_ratio}};
}

}  // namespace setstress::bench
