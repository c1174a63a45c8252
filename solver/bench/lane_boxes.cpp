#include "solver/bench/lane_boxes.hpp"

#include <cmath>
#include <filesystem>

#include "mesh/geometry/mesh_size.hpp"
#include "solver/bench/benchmark_model.hpp"
#include "solver/bench/kept_mesh.hpp"
#include "solver/bench/workload.hpp"

namespace setstress::bench {

namespace {

constexpr double late = 0.8;  // of the time, where a system is taken

std::filesystem::path mesh_file(const std::string& folder, const std::string& fineness) {
  return std::filesystem::path(folder) / (fineness + ".cbor");
}
Mesh made_mesh(const std::string& fineness) {
  return Workload::mesh_of_size(setstress::fineness(fineness).bond);
}
Mesh mesh_of(const std::string& fineness, const Options& options) {
  return options.meshes.empty() ? made_mesh(fineness) : kept_mesh(mesh_file(options.meshes, fineness));
}

Model varied(const Model& base, int run) {
  Model model = base;
  const auto within = [&](int value, double share) {  // evenly spread from 1 - share to 1 + share
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

}  // namespace

void add(Timings& sum, const Timings& one) {
  sum.linear_solve += one.linear_solve;
  sum.linear_solves += one.linear_solves;
  sum.linear_iterations += one.linear_iterations;
  sum.steps += one.steps;
}

void write_meshes(const std::string& folder) {
  std::filesystem::create_directories(folder);
  for (const char* fineness : {"coarse", "standard"})
    keep_mesh(made_mesh(fineness), mesh_file(folder, fineness));
}

LaneBoxes::LaneBoxes(int boxes, const std::string& fineness, const Options& options)
    : base_(benchmark_model(mesh_of(fineness, options))), mean_ratio_(static_cast<std::size_t>(boxes)) {
  static_cast<void>(shared_.two_level());
  for (int run = 0; run < boxes; ++run) models_.push_back(varied(base_, run));
}

/// What a study asks of every step of a run; remembers the last.
FrameSink LaneBoxes::judging(double& mean_ratio) const {
  return [this, &mean_ratio](const Frame& frame, const Progress&) {
    mean_ratio = report_.of(frame).back().statistics.ratio.mean;
    return true;
  };
}

Timings LaneBoxes::together(std::size_t first, std::size_t end, int lanes, LaneMachine machine) {
  std::vector<Member> members;
  for (std::size_t i = first; i < end; ++i) members.push_back({&models_[i], judging(mean_ratio_[i])});
  Timings sum;
  for (const MemberOutcome& one :
       simulate_together(base_, members, options_, shared_, lanes, Tissues::one_for_all, machine)) {
    if (one.failure) std::rethrow_exception(one.failure);
    add(sum, one.outcome.timings);
  }
  return sum;
}

Timings LaneBoxes::alone(std::size_t run, double& mean_ratio, int threads) const {
  SolveOptions options = options_;
  options.threads = threads;
  return simulate(models_[run], options, judging(mean_ratio), shared_).timings;
}

LaneSystem LaneBoxes::system(LaneOrder order) const {
  const std::vector<Event> events = schedule(base_.timeline);
  const BlockMatrix* matrix = nullptr;
  const auto lead = [&](Run& run) {  // there, in steps that nobody balances
    for (const Event& event : events) {
      while (run.time() < std::min(event.time, late * events.back().time))
        matrix = &run.lead(std::min(event.time, late * events.back().time));
      if (run.time() < event.time) return;
      run.begin(event);
    }
  };
  Run leader(base_, options_, shared_);
  SharedEquations equations(base_, shared_, Tissues::one_for_all, order);
  lead(leader);
  LaneSystem system{*equations.mesh(),
                    equations.equations(leader),
                    equations.sweeps(*matrix),
                    equations.factor(*matrix),
                    {},
                    {},
                    {}};
  for (const Model& model : models_) {
    Run run(model, options_, shared_, &leader);
    lead(run);
    Trial trial = run.propose(events.back().time);
    const std::vector<Eigen::VectorXd> moved{run.moved(trial)};
    const std::vector<Eigen::VectorXd*> forces{&trial.constant};
    leader.balance().tissue_forces(moved, forces);
    static_cast<void>(run.look(trial));
    system.moduli.push_back(lane_moduli(run, trial));
    system.bond.push_back(lane_bond(trial));
    equations.to_lanes(trial.residual, system.right.emplace_back());
  }
  return system;
}

}  // namespace setstress::bench
