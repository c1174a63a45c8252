// One solve and sixty steps against the reference: full assembly and a supernodal Cholesky factorisation each
// time.

#include <fmt/format.h>
#include <omp.h>

#include "solver/bench/clock.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/solve/linear_solver.hpp"

namespace setstress::bench {

namespace {

constexpr double tolerance = 1e-8;

/// Seconds: of the processor on one thread, so that other work on the machine does not count; of the wall on
/// more.
double cost(const Clock& clock, const Options& options) {
  return options.threads == 1 ? clock.processor_seconds() : clock.seconds();
}

void use_threads(const Options& options) {
  omp_set_num_threads(options.threads);
}

struct Cost {
  double seconds = 0;
  int iterations = 0, factorisations = 0, fallbacks = 0;
  Eigen::VectorXd last;
};

/// Steps first..last of the sequence, assembly included.
Cost run_steps(const Workload& work, LinearSystemSolver& solver, int first, int last,
               const Options& options) {
  BlockMatrix matrix = work.begin_steps();
  Cost total;
  for (int step = first; step <= last; ++step) {
    const Eigen::VectorXd load = work.load(step);
    const Clock clock;
    work.assemble_step(step, matrix);
    total.last = Eigen::VectorXd::Zero(load.size());
    const LinearOutcome outcome = solver.solve(matrix, load, total.last, tolerance);
    total.seconds += cost(clock, options);
    total.iterations += outcome.iterations;
    total.factorisations += outcome.factorised;
    total.fallbacks += outcome.fell_back;
  }
  return total;
}

Cost run_static(const Workload& work, LinearSystemSolver& solver, const Options& options) {
  BlockMatrix matrix = work.begin_steps();
  const Eigen::VectorXd load = work.load(5);
  Cost total;
  const Clock clock;
  work.assemble_static(matrix);
  total.last = Eigen::VectorXd::Zero(load.size());
  total.iterations = solver.solve(matrix, load, total.last, tolerance).iterations;
  total.seconds = cost(clock, options);
  return total;
}

double difference(const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  return (a - b).norm() / b.norm();
}

Reading solve_ratio(int unknowns, const Options& options) {
  use_threads(options);
  const Workload work = Workload::of_about(unknowns);
  Clock clock;
  const auto ours = make_two_level_solver(work.graph);
  const double our_setup = cost(clock, options);
  const Cost our_cost = run_static(work, *ours, options);
  clock.restart();
  const auto reference = make_direct_solver(work.graph);
  set_factor_threads(options.threads);
  const double their_setup = cost(clock, options);
  const Cost their_cost = run_static(work, *reference, options);
  set_factor_threads(1);
  return {
      (their_setup + their_cost.seconds) / (our_setup + our_cost.seconds),
      fmt::format("{} unknowns: {:.2f} + {:.2f} s (setup + solve, {} iterations) against {:.2f} + {:.2f} s; "
                  "solutions differ by {:.0e}",
                  work.unknowns(), our_setup, our_cost.seconds, our_cost.iterations, their_setup,
                  their_cost.seconds, difference(our_cost.last, their_cost.last))};
}

Reading bytes_per_unknown(int unknowns, const Options& options) {
  use_threads(options);
  const Workload work = Workload::of_about(unknowns);
  const auto solver = make_two_level_solver(work.graph);
  run_steps(work, *solver, 1, 9, options);  // until the recycled solutions are all there
  const double matrix = static_cast<double>(work.graph.column.size()) * (sizeof(Block) + sizeof(int));
  const double total = (static_cast<double>(solver->bytes()) + matrix) / work.unknowns();
  return {total,
          fmt::format("{} unknowns: solver {:.0f}, assembled matrix {:.0f}", work.unknowns(),
                      static_cast<double>(solver->bytes()) / work.unknowns(), matrix / work.unknowns())};
}

Reading steps_ratio(int unknowns, const Options& options) {
  use_threads(options);
  const Workload work = Workload::of_about(unknowns);
  Clock clock;
  const auto ours = make_two_level_solver(work.graph);
  const double our_setup = cost(clock, options);
  const Cost our_cost = run_steps(work, *ours, 1, Workload::steps, options);
  clock.restart();
  const auto reference = make_direct_solver(work.graph);
  set_factor_threads(options.threads);
  const double their_setup = cost(clock, options);
  const int measured = options.full ? Workload::steps : 2;
  const Cost their_cost =
      run_steps(work, *reference, Workload::steps - measured + 1, Workload::steps, options);
  set_factor_threads(1);
  const double theirs = their_setup + their_cost.seconds * Workload::steps / measured;
  return {
      theirs / (our_setup + our_cost.seconds),
      fmt::format(
          "{} unknowns, {} steps: {:.1f} s ({} iterations, {} coarse factors, {} fallbacks) against {:.0f} s "
          "({} of {} steps run{}); last solutions differ by {:.0e}",
          work.unknowns(), Workload::steps, our_setup + our_cost.seconds, our_cost.iterations,
          our_cost.factorisations, our_cost.fallbacks, theirs, measured, Workload::steps,
          options.full ? "" : ", the rest scaled", difference(our_cost.last, their_cost.last))};
}

}  // namespace

std::vector<Measure> sequence_measures() {
  return {
      {"solve_150k.ratio", "x", "one cold solve with setup, 150,000 unknowns, against the direct reference",
       12, true, [](const Options& o) { return solve_ratio(150'000, o); }},
      {"solve_150k.bytes_per_unknown", "B", "memory of solver and assembled matrix, 150,000 unknowns", 3000,
       false, [](const Options& o) { return bytes_per_unknown(150'000, o); }},
      {"steps_50k.ratio", "x",
       "60 setting steps, 50,000 unknowns, against assembling and factorising each time", 15, true,
       [](const Options& o) { return steps_ratio(50'000, o); }},
      {"steps_170k.ratio", "x", "60 setting steps, 170,000 unknowns, against the same", 25, true,
       [](const Options& o) { return steps_ratio(170'000, o); }},
  };
}

}  // namespace setstress::bench
