// Runs that advance together against the same runs one after the other, and how near their sweeps come to
// memory.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <cmath>

#include "solver/bench/clock.hpp"
#include "solver/bench/lane_boxes.hpp"
#include "solver/bench/machine.hpp"
#include "solver/bench/measure.hpp"

namespace setstress::bench {

namespace {

constexpr int lanes = 32, boxes = 64;

double iterations_a_solve(const Timings& timings) {
  return static_cast<double>(timings.linear_iterations) / timings.linear_solves;
}

Reading ratio(const Options& options) {
  omp_set_num_threads(1);
  LaneBoxes work(boxes, "coarse", options);
  const std::size_t sample = options.full ? lanes : 2;  // of each group, alone
  double together = 0, alone = 0, difference = 0;
  Timings in_lanes, one_by_one;
  for (std::size_t first = 0; first < boxes; first += lanes) {
    const Clock clock;
    add(in_lanes, work.together(first, first + lanes, lanes, LaneMachine::processor));
    together += clock.processor_seconds() / boxes;
    for (std::size_t i = first; i < first + sample; ++i) {
      double mean = 0;
      const Clock own;
      add(one_by_one, work.alone(i, mean));
      alone += own.processor_seconds() / (2 * static_cast<double>(sample));
      difference = std::max(difference, std::abs(work.mean_ratio()[i] / mean - 1));
    }
  }
  return {alone / together,
          fmt::format(
              "{} unknowns, {} runs, {} lanes: {:.2f} s each, {} steps, {:.1f} iterations a solve; {:.2f} s "
              "alone (mean of {}), {:.1f} iterations a solve; mean ratios of the whole bond differ by "
              "{:.0e} at most",
              work.mesh().unknowns(), boxes, lanes, together, in_lanes.steps / boxes,
              iterations_a_solve(in_lanes), alone, 2 * sample, iterations_a_solve(one_by_one), difference)};
}

Reading memory_share(const Options& options) {
  omp_set_num_threads(1);
  const LaneSystem system = LaneBoxes(1, "coarse", options).system(LaneOrder::neighbours);
  const auto solver = make_lane_solver(std::make_shared<const LaneMesh>(system.mesh), lanes);
  solver->set_equations(system.equations);
  solver->set_sweeps(system.sweeps);
  solver->set_factor(system.factor);
  solver->set_values(std::vector<std::span<const float>>(lanes, system.moduli.front()),
                     std::vector<std::span<const float>>(lanes, system.bond.front()));
  std::vector<double> found(system.right.front().size());
  const std::vector<std::span<const double>> right(lanes, system.right.front());
  const std::vector<std::span<double>> left(lanes, found);
  const std::vector<double> tolerance(lanes, 0.0);
  double best = 1e300;
  int iterations = 0;
  for (int repeat = 0; repeat < 9; ++repeat) {
    const Clock clock;
    iterations = solver->solve(right, tolerance, 20, left).front().iterations;
    best = std::min(best, clock.processor_seconds() / iterations);
  }
  const double bandwidth = triad_bandwidth(1), rate = 1e-9 * solver->bytes_per_iteration() / best;
  return {rate / bandwidth,
          fmt::format(
              "{} lanes: an iteration moves {:.1f} MB and takes {:.2f} ms (best mean of {}), {:.1f} GB/s; "
              "triad {:.1f} GB/s",
              lanes, 1e-6 * solver->bytes_per_iteration(), 1e3 * best, iterations, rate, bandwidth)};
}

}  // namespace

std::vector<Measure> lane_measures() {
  return {{"lanes.ratio", "x", "a coarse box that advances with others against the same box alone", 3, true,
           ratio},
          {"lanes.memory_share", "-",
           "bytes that an iteration in lanes must move, over time and the triad's rate", 0.5, true,
           memory_share}};
}

}  // namespace setstress::bench
