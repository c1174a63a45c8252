// Many runs on one mesh against as many programs.

#include <fmt/format.h>
#include <omp.h>

#include "solver/bench/benchmark_model.hpp"
#include "solver/bench/clock.hpp"
#include "solver/bench/measure.hpp"
#include "solver/bench/workload.hpp"
#include "solver/shared_mesh.hpp"
#include "solver/simulate.hpp"

namespace setstress::bench {

namespace {

constexpr int measured_runs = 5, study_runs = 100;

double seconds(const Clock& clock, const Options& options) {
  return options.threads == 1 ? clock.processor_seconds() : clock.seconds();
}

/// Parameter set number `run` of a study of shrinkage and film thickness.
Model parameter_set(const Mesh& mesh, int run) {
  Model model = benchmark_model(mesh);
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material))
      composite->volumetric_shrinkage *= 1 + 0.05 * run;
  model.adhesive.film_thickness *= 1 + 0.1 * run;
  return model;
}

bool go_on(const Frame&, const Progress&) {
  return true;
}

Reading many_runs_ratio(const Options& options) {
  omp_set_num_threads(options.threads);
  const SolveOptions solve{.threads = options.threads};
  Clock clock;
  const Mesh mesh = Workload::mesh_of_size(1.2);  // "coarse"
  const double meshing = seconds(clock, options);
  clock.restart();
  const SharedMesh shared(parameter_set(mesh, 0));
  const double preparing = seconds(clock, options);
  double alone = 0, together = 0;
  for (int run = 0; run < measured_runs; ++run) {
    const Model model = parameter_set(mesh, run);
    clock.restart();
    simulate(model, solve, go_on);
    alone += seconds(clock, options) / measured_runs;
    clock.restart();
    simulate(model, solve, go_on, shared);
    together += seconds(clock, options) / measured_runs;
  }
  const double apart = meshing + alone;
  const double in_one = together + (meshing + preparing) / study_runs;
  return {apart / in_one,
          fmt::format("{} unknowns: meshing {:.2f} s, run on its own {:.2f} s, on a shared mesh {:.2f} s "
                      "(mean of {} runs; start of a program and files not counted)",
                      mesh.unknowns(), meshing, alone, together, measured_runs)};
}

}  // namespace

std::vector<Measure> many_measures() {
  return {{"many_runs.ratio", "x",
           "a run of a coarse study of 100 on one mesh against a program that meshes and solves it alone", 3,
           true, many_runs_ratio}};
}

}  // namespace setstress::bench
