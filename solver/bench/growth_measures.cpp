// How time and memory grow with the number of unknowns.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>

#include "solver/bench/clock.hpp"
#include "solver/bench/machine.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/linear/solve/linear_solver.hpp"

namespace setstress::bench {

namespace {

struct Point {
  int unknowns;
  double microseconds;  ///< of one step, by unknown
  double iterations;    ///< of one step
};

constexpr int first_step = 8, steps = 20;

/// Mean over steps of the sequence from a cold start on, while the filling sets fastest.
Point step_cost(int wanted, const Options& options) {
  const Workload work = Workload::of_about(wanted);
  const auto solver = make_two_level_solver(work.graph);
  BlockMatrix matrix = work.begin_steps();
  double seconds = 0;
  int iterations = 0;
  for (int step = first_step; step < first_step + steps; ++step) {
    const Eigen::VectorXd load = work.load(step);
    Eigen::VectorXd x = Eigen::VectorXd::Zero(load.size());
    const Clock clock;
    work.assemble_step(step, matrix);
    iterations += solver->solve(matrix, load, x, 1e-8).iterations;
    seconds += options.threads == 1 ? clock.processor_seconds() : clock.seconds();
  }
  return {work.unknowns(), 1e6 * seconds / steps / work.unknowns(), 1.0 * iterations / steps};
}

Reading growth(const Options& options) {
  omp_set_num_threads(options.threads);
  std::vector<Point> points;
  std::string detail =
      fmt::format("microseconds a step and unknown (iterations), mean of {} steps from a cold start:", steps);
  for (const int unknowns : {25'000, 50'000, 150'000, 400'000, 1'000'000}) {
    points.push_back(step_cost(unknowns, options));
    detail += fmt::format(" {:.2f} ({:.1f}) at {}k,", points.back().microseconds, points.back().iterations,
                          points.back().unknowns / 1000);
  }
  double most = 0;
  for (const Point& point : points) most = std::max(most, point.microseconds);
  return {most / points.front().microseconds,
          detail + fmt::format(" peak memory {:.2f} GB with mesh and matrices", 1e-9 * peak_memory())};
}

Reading largest(const Options& options) {
  omp_set_num_threads(options.threads);
  const Point point = step_cost(1'000'000, options);
  return {1e-9 * peak_memory(), fmt::format("{} unknowns: {:.1f} s a step", point.unknowns,
                                            1e-6 * point.microseconds * point.unknowns)};
}

}  // namespace

std::vector<Measure> growth_measures() {
  return {
      {"growth.ratio", "x", "time a step and unknown, largest over smallest size from 25,000 to 1,000,000", 2,
       false, growth},
      {"growth.memory", "GB", "peak memory of the whole program with 1,000,000 unknowns", 6, false, largest}};
}

}  // namespace setstress::bench
