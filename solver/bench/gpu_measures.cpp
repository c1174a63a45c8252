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
constexpr int least_gpu_lanes = 32;

/// From the mesh on, with what all runs share and all judging of them.
Reading thousand_boxes(const Options& options) {
  const int threads = omp_get_num_procs();
  omp_set_num_threads(threads);
  const Clock clock;
  LaneBoxes work(gpu_boxes, "coarse", options);
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

/// One standard box, with 31 lanes beside it that do nothing: what a GPU is not made for. Best of three, in
/// turn, on two threads.
Reading one_box(const Options& options) {
  constexpr int threads = 2;
  omp_set_num_threads(threads);
  LaneBoxes work(1, "standard", options);
  double mean = 0, on_gpu = 1e300, here = 1e300;
  Timings of_gpu, of_here;
  for (int repeat = 0; repeat < 3; ++repeat) {
    const Clock there;
    of_gpu = work.together(0, 1, least_gpu_lanes, LaneMachine::gpu);
    on_gpu = std::min(on_gpu, there.seconds());
    const Clock own;
    of_here = work.alone(0, mean, threads);
    here = std::min(here, own.seconds());
  }
  return {here / on_gpu,
          fmt::format(
              "{} unknowns: {:.1f} s on the GPU ({:.1f} s of it linear systems, {:.1f} iterations a solve), "
              "{:.1f} s on {} threads ({:.1f} s, {:.1f}); mean ratios of the whole bond differ by {:.0e}",
              work.mesh().unknowns(), on_gpu, of_gpu.linear_solve,
              static_cast<double>(of_gpu.linear_iterations) / of_gpu.linear_solves, here, threads,
              of_here.linear_solve, static_cast<double>(of_here.linear_iterations) / of_here.linear_solves,
              std::abs(work.mean_ratio()[0] / mean - 1))};
}

}  // namespace

std::vector<Measure> gpu_measures() {
  if (!why_no_gpu().empty()) return {};
  return {{"gpu.one_standard_box",
           "x",
           "a standard box on a GPU against the same on two threads",
           {},
           true,
           one_box},
          {"gpu.thousand_boxes", "s", "1,000 coarse boxes that all need their own solution, on a GPU", 60,
           false, thousand_boxes}};
}

}  // namespace setstress::bench
