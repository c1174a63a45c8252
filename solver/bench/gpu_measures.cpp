// A thousand boxes, each with a solution of its own, on a GPU.

#include <fmt/format.h>
#include <omp.h>

#include <cmath>

#include "solver/bench/clock.hpp"
#include "solver/bench/lane_boxes.hpp"
#include "solver/bench/measure.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"

namespace setstress::bench {

namespace {

constexpr std::size_t gpu_boxes = 1000, gpu_lanes = 1024;

/// From the mesh on, with what all runs share and all judging of them.
Reading thousand_boxes(const Options& options) {
  const int threads = omp_get_num_procs();
  omp_set_num_threads(threads);
  const Clock clock;
  LaneBoxes work(gpu_boxes, options);
  const double shared = clock.seconds();
  Timings sum;
  for (std::size_t first = 0; first < gpu_boxes; first += gpu_lanes) {
    add(sum, work.together(first, std::min(gpu_boxes, first + gpu_lanes), gpu_lanes, LaneMachine::gpu));
  }
  const double seconds = clock.seconds();
  omp_set_num_threads(1);
  double mean = 0, difference = 0;
  for (const std::size_t run : {std::size_t{0}, gpu_boxes / 2, gpu_boxes - 1}) {
    work.alone(run, mean);
    difference = std::max(difference, std::abs(work.mean_ratio()[run] / mean - 1));
  }
  return {
      seconds,
      fmt::format(
          "{} unknowns, {} runs, {} lanes, {} threads beside the GPU: {:.1f} s for what all share, {:.1f} s "
          "for linear systems, {} steps and {:.1f} iterations a solve; mean ratios of the whole bond "
          "differ by {:.0e} at most from runs alone (3 looked at)",
          work.mesh().unknowns(), gpu_boxes, gpu_lanes, threads, shared, sum.linear_solve,
          sum.steps / static_cast<int>(gpu_boxes),
          static_cast<double>(sum.linear_iterations) / sum.linear_solves, difference)};
}

}  // namespace

std::vector<Measure> gpu_measures() {
  if (!why_no_gpu().empty()) return {};
  return {{"gpu.thousand_boxes", "s", "1,000 coarse boxes that all need their own solution, on a GPU", 60,
           false, thousand_boxes}};
}

}  // namespace setstress::bench
