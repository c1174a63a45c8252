// Runs that advance together against the same runs one after the other, and how
// near their sweeps come to memory.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <cmath>

#include "solver/bench/benchmark_model.hpp"
#include "solver/bench/clock.hpp"
#include "solver/bench/machine.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/group/shared_equations.hpp"
#include "solver/group/simulate_together.hpp"
#include "solver/report/wall_report.hpp"

namespace setstress::bench {

namespace {

constexpr double coarse = 1.2;  // [mm] along the bond: what the program calls coarse in such a box
constexpr int lanes = 32, boxes = 64;

/// The benchmark's run with other values of light, cure, filling and bond: no
/// two have one solution.
Model varied(const Model& base, int run) {
  Model model = base;
  const auto within = [&](int value,
                          double share) {  // evenly spread from 1 - share to 1 + share
    return 1 + share * (2 * std::fmod(0.5 + run * std::sqrt(value + 0.3), 1.0) - 1);
  };
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material)) {
      composite->volumetric_shrinkage *= within(2, 0.3);
      composite->cure.rate *= within(3, 0.3);
      composite->light.attenuation *= within(5, 0.2);
      composite->stiffness.final_modulus *= within(6, 0.3);
    }
  for (Exposure& exposure : model.timeline.exposures) exposure.irradiance *= within(7, 0.3);
  model.adhesive.youngs_modulus *= within(10, 0.3);
  return model;
}

/// What a study asks of every step of a run; remembers the last.
FrameSink judging(const WallReport& report, double& mean_ratio) {
  return [&](const Frame& frame, const Progress&) {
    mean_ratio = report.of(frame).back().statistics.ratio.mean;
    return true;
  };
}

struct Boxes {
  Model base = benchmark_model(Workload::mesh_of_size(coarse));
  SharedMesh shared{base};
  WallReport report{base.mesh, base.substrates};
  SolveOptions options{.threads = 1};
  std::vector<Model> models;
  std::vector<double> mean_ratio = std::vector<double>(boxes);

  Boxes() {
    static_cast<void>(shared.two_level());
    for (int run = 0; run < boxes; ++run) models.push_back(varied(base, run));
  }
  Timings together(std::size_t first) {
    std::vector<Member> members;
    for (std::size_t i = first; i < first + lanes; ++i)
      members.push_back({&models[i], judging(report, mean_ratio[i])});
    Timings sum;
    for (const MemberOutcome& one : simulate_together(base, members, options, shared, lanes)) {
      if (one.failure) std::rethrow_exception(one.failure);
      sum.linear_solves += one.outcome.timings.linear_solves;
      sum.linear_iterations += one.outcome.timings.linear_iterations;
      sum.steps += one.outcome.timings.steps;
    }
    return sum;
  }
};

Reading ratio(const Options& options) {
  omp_set_num_threads(1);
  Boxes work;
  const int sample = options.full ? boxes / 2 : 2;  // of each group, alone
  double together = 0, alone = 0, difference = 0;
  Timings in_lanes, one_by_one;
  const auto add = [](Timings& sum, const Timings& one) {
    sum.steps += one.steps;
    sum.linear_solves += one.linear_solves;
    sum.linear_iterations += one.linear_iterations;
  };
  for (std::size_t first = 0; first < boxes; first += lanes) {
    const Clock clock;
    add(in_lanes, work.together(first));
    together += clock.processor_seconds() / boxes;
    for (std::size_t i = first; i < first + static_cast<std::size_t>(sample); ++i) {
      double mean = 0;
      const Clock own;
      add(one_by_one,
          simulate(work.models[i], work.options, judging(work.report, mean), work.shared).timings);
      alone += own.processor_seconds() / (2 * sample);
      difference = std::max(difference, std::abs(work.mean_ratio[i] / mean - 1));
    }
  }
  return {
      alone / together,
      fmt::format("{} unknowns, {} runs, {} lanes: {:.2f} s each, {} "
                  "steps, {:.1f} iterations a solve; {:.2f} s alone "
                  "(mean of {}), {:.1f} iterations a solve; mean ratios of "
                  "the whole bond differ by {:.0e} at most",
                  work.base.mesh.unknowns(), boxes, lanes, together, in_lanes.steps / boxes,
                  static_cast<double>(in_lanes.linear_iterations) / in_lanes.linear_solves, alone, 2 * sample,
                  static_cast<double>(one_by_one.linear_iterations) / one_by_one.linear_solves, difference)};
}

/// A system in the middle of an exposure, the same in every lane.
Reading memory_share(const Options&) {
  omp_set_num_threads(1);
  const Boxes work;
  Run run(work.base, work.options, work.shared);
  SharedEquations equations(work.base, work.shared);
  const std::vector<Event> events = schedule(work.base.timeline);
  const BlockMatrix* matrix = nullptr;
  for (const Event& event : events) {
    while (run.time() < event.time) matrix = &run.lead(event.time);
    run.begin(event);
  }
  const auto solver = make_lane_solver(equations.mesh(), lanes);
  solver->set_equations(equations.equations(run));
  solver->set_sweeps(equations.sweeps(*matrix));
  solver->set_factor(equations.factor(*matrix));
  const std::vector<float> moduli(8 * equations.mesh()->element.size(), 4e3f),
      bond(2 * equations.mesh()->facet.size(), 1e5f);
  solver->set_values(std::vector<std::span<const float>>(lanes, moduli),
                     std::vector<std::span<const float>>(lanes, bond));
  const LaneEquations now = equations.equations(run);
  std::vector<double> load(now.free.begin(), now.free.end()), found(load.size());
  const std::vector<std::span<const double>> right(lanes, load);
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
          fmt::format("{} lanes: an iteration moves {:.1f} MB and takes {:.2f} "
                      "ms (best mean of {}), {:.1f} GB/s; triad {:.1f} "
                      "GB/s",
                      lanes, 1e-6 * solver->bytes_per_iteration(), 1e3 * best, iterations, rate, bandwidth)};
}

}  // namespace

std::vector<Measure> lane_measures() {
  return {{"lanes.ratio", "x", "a coarse box that advances with others against the same box alone", 3, true,
           ratio},
          {"lanes.memory_share", "-",
           "bytes that an iteration in lanes must move, over time and the "
           "triad's rate",
           0.5, true, memory_share}};
}

}  // namespace setstress::bench
