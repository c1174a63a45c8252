// What all cores gain over one in the parts of a step that are meant to share them.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>

#include "solver/bench/clock.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/linear/sweep/smoother.hpp"

namespace setstress::bench {

namespace {

/// Best of several wall times [s].
template <typename Work>
double best_time(int threads, const Work& work) {
  omp_set_num_threads(threads);
  double best = 1e300;
  for (int repeat = 0; repeat < 9; ++repeat) {
    const Clock clock;
    work();
    best = std::min(best, clock.seconds());
  }
  return best;
}

Reading efficiency(const Options&) {
  const int cores = omp_get_num_procs();
  const Workload work = Workload::of_about(170'000);
  BlockMatrix matrix = work.begin_steps();
  work.assemble_step(30, matrix);
  const SweepOrder order = make_sweep_order(work.graph);
  const SweepPattern pattern(work.graph, order);
  Smoother smoother(pattern, order);
  smoother.assign(matrix);
  const Eigen::VectorXd x = work.load(30);
  Eigen::VectorXd y;
  const Eigen::VectorXf r = order.by_place(x).cast<float>();
  Eigen::VectorXf z, residual;

  std::string detail = fmt::format("{} threads, milliseconds on one and all:", cores);
  double least = 1e300;
  const auto add = [&](const char* name, const auto& part) {
    const double one = best_time(1, part), all = best_time(cores, part);
    least = std::min(least, one / (cores * all));
    detail += fmt::format(" {} {:.1f} {:.1f} ({:.2f}),", name, 1e3 * one, 1e3 * all, one / (cores * all));
  };
  add("assembly", [&] { work.assemble_step(30, matrix); });
  add("product", [&] { multiply(matrix, x, y); });
  add("smoothing", [&] {
    smoother.forward(r, z, residual);
    smoother.backward(r, z, residual);
  });
  detail.pop_back();
  return {least, detail};
}

}  // namespace

std::vector<Measure> thread_measures() {
  return {{"threads.efficiency", "-",
           "least of assembly, product and smoothing: time on one core over cores x time on all", 0.8, true,
           efficiency}};
}

}  // namespace setstress::bench
