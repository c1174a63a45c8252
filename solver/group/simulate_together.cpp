#include "solver/group/simulate_together.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <atomic>
#include <memory>
#include <stdexcept>

#include "solver/group/shared_equations.hpp"
#include "solver/group/step_guess.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "solver/machine/parallel.hpp"
#include "solver/machine/stopwatch.hpp"
#include "solver/run/model_check.hpp"

namespace setstress {

namespace {

// Solves a step may take. One brings a linear step to balance; what single precision leaves takes another.
constexpr int most_solves = 6;

/// A run on its way.
class Lane {
 public:
  /// `alike` has its tissues; null: they are its own.
  Lane(const Member& member, const SolveOptions& options, const SharedMesh& shared, const Run* alike)
      : member_(member),
        run_(*member.model, options, shared, alike),
        events_(schedule(member.model->timeline)) {
    if (alike == nullptr) take_own_tissues(*member.model);
  }

  [[nodiscard]] const Run& run() const { return run_; }
  [[nodiscard]] bool is_going() const { return !outcome_.failure && outcome_.outcome.finished; }
  [[nodiscard]] bool is_before(std::size_t event) const {
    return is_going() && run_.time() < events_[event].time;
  }
  [[nodiscard]] bool is_trying() const { return trial_.has_value(); }

  /// Calls work(), and keeps what it throws.
  template <typename Work>
  void guarded(const Work& work) {
    try {
      work();
    } catch (...) {
      trial_.reset();
      outcome_.failure = std::current_exception();
    }
  }

  void begin(std::size_t event) {
    run_.begin(events_[event]);
    guess_.interrupt();
    if (event == 0) run_.settle();
    outcome_.outcome.finished = show(events_[event].label) || event + 1 == events_.size();
  }

  /// Begins a step towards an event and says what its matrix is made of.
  void propose(std::size_t event) {
    trial_ = run_.propose(events_[event].time);
    knows_tissue_forces_ = guess_.improve(run_, *trial_);
    moduli_ = lane_moduli(run_, *trial_);
    moduli_.insert(moduli_.end(), own_tissues_.begin(), own_tissues_.end());
  }
  /// At the first look, where they follow from those of former steps.
  [[nodiscard]] bool knows_tissue_forces() const { return knows_tissue_forces_; }
  [[nodiscard]] Eigen::VectorXd moved() const { return run_.moved(*trial_); }
  [[nodiscard]] Eigen::VectorXd& tissue_forces() { return trial_->constant; }
  void find_own_tissue_forces() {
    const std::vector<Eigen::VectorXd> moved{run_.moved(*trial_)};
    const std::vector<Eigen::VectorXd*> forces{&trial_->constant};
    run_.balance().tissue_forces(moved, forces);
  }
  /// Whether the step needs a solve; once it is in balance, or without hope, it is taken.
  bool look(std::size_t event, bool last) {
    const bool ended = run_.look(*trial_);
    knows_tissue_forces_ = false;
    if (!ended && !last) return true;
    if (trial_->balanced) {
      guess_.remember(*trial_);
      run_.accept(std::move(*trial_), events_[event].time);
    } else {
      ++outcome_.steps_alone;
      guess_.interrupt();
      run_.advance(events_[event].time);
    }
    trial_.reset();
    outcome_.outcome.largest_energy_error =
        std::max(outcome_.outcome.largest_energy_error, run_.energy_error());
    if (run_.time() < events_[event].time) outcome_.outcome.finished = show("");
    return false;
  }
  void take_bond() { bond_ = lane_bond(*trial_); }
  [[nodiscard]] std::span<const float> moduli() const { return moduli_; }
  [[nodiscard]] std::span<const float> bond() const { return bond_; }

  void ask(const SharedEquations& equations) {
    equations.to_lanes(trial_->residual, right_);
    correction_.resize(right_.size());
  }
  [[nodiscard]] std::span<const double> right() const { return right_; }
  [[nodiscard]] std::span<double> correction() { return correction_; }
  [[nodiscard]] double tolerance() const { return run_.balance().worthwhile_tolerance(*trial_); }
  void take(const SharedEquations& equations, const LaneOutcome& solved, double seconds) {
    equations.add_to_nodes(correction_, trial_->step);
    ++trial_->iterations;
    Timings& timings = run_.timings();
    ++timings.equilibrium_iterations;
    ++timings.linear_solves;
    timings.linear_solve += seconds;
    timings.linear_iterations += solved.iterations;
    timings.most_linear_iterations = std::max(timings.most_linear_iterations, solved.iterations);
  }

  MemberOutcome ended() {
    outcome_.outcome.timings = run_.timings();
    return std::move(outcome_);
  }

 private:
  void take_own_tissues(const Model& model) {
    for (const int index : tissue_tetrahedra(model.mesh)) {
      const Elastic& elastic = elastic_at(model, model.mesh.tetrahedra[static_cast<std::size_t>(index)]);
      const double shear = elastic.youngs_modulus / (2 * (1 + elastic.poisson_ratio));
      const double lame = 2 * shear * elastic.poisson_ratio / (1 - 2 * elastic.poisson_ratio);
      own_tissues_.insert(own_tissues_.end(), 4, static_cast<float>(shear));
      own_tissues_.insert(own_tissues_.end(), 4, static_cast<float>(lame));
      own_tissues_.push_back(0.0f);
    }
  }

  bool show(const std::string& event) {
    const Timeline& timeline = member_.model->timeline;
    return member_.sink(run_.frame(event), {.time = run_.time(),
                                            .end = timeline.end,
                                            .fraction = share_of_work(timeline, run_.time()),
                                            .step = run_.timings().steps});
  }

  Member member_;
  Run run_;
  std::vector<Event> events_;
  std::optional<Trial> trial_;
  StepGuess guess_;
  bool knows_tissue_forces_ = false;
  std::vector<float> own_tissues_;  ///< moduli; empty where all have the same
  std::vector<float> moduli_, bond_;
  std::vector<double> right_, correction_;
  MemberOutcome outcome_;
};

class Group {
 public:
  Group(const Model& leader, std::span<const Member> members, const SolveOptions& options,
        const SharedMesh& shared, int lanes, Tissues tissues, LaneMachine machine)
      : leader_(leader, options, shared),
        leading_(schedule(leader.timeline)),
        tissues_(tissues),
        equations_(leader, shared, tissues,
                   machine == LaneMachine::gpu ? LaneOrder::colors : LaneOrder::neighbours),
        solver_(machine == LaneMachine::gpu ? make_gpu_lane_solver(equations_.mesh(), lanes)
                                            : make_lane_solver(equations_.mesh(), lanes)),
        most_iterations_(options.most_linear_iterations),
        lanes_(members.size()) {
    const Run* const alike = tissues == Tissues::one_for_all ? &leader_ : nullptr;
    parallel_for(
        members.size(),
        [&](std::size_t i) { lanes_[i] = std::make_unique<Lane>(members[i], options, shared, alike); }, 1);
  }

  void run() {
    for (std::size_t event = 0; event < leading_.size(); ++event) {
      while (std::any_of(lanes_.begin(), lanes_.end(),
                         [&](const auto& lane) { return lane->is_before(event); })) {
        if (leader_.time() < leading_[event].time) lead(leading_[event].time);
        step(event);
      }
      while (leader_.time() < leading_[event].time) leader_.lead(leading_[event].time);
      leader_.begin(leading_[event]);
      for_lanes([&](Lane& lane) {
        if (lane.is_going()) lane.guarded([&] { lane.begin(event); });
      });
      solver_->set_equations(equations_.equations(leader_));
    }
  }

  std::vector<MemberOutcome> ended() {
    std::vector<MemberOutcome> outcomes;
    for (const auto& lane : lanes_) outcomes.push_back(lane->ended());
    return outcomes;
  }

 private:
  void lead(double until) {
    const BlockMatrix& matrix = leader_.lead(until);
    solver_->set_sweeps(equations_.sweeps(matrix));
    solver_->set_factor(equations_.factor(matrix));
  }

  /// One step of every lane that has not come to the event.
  void step(std::size_t event) {
    for_lanes([&](Lane& lane) {
      if (lane.is_before(event)) lane.guarded([&] { lane.propose(event); });
    });
    for (int solves = 0; look(event, solves == most_solves); ++solves) {
      if (solves == 0) set_values();
      solve();
    }
  }

  /// In parallel, each once.
  template <typename Work>
  void for_lanes(const Work& work) const {
    parallel_for(
        lanes_.size(), [&](std::size_t i) { work(*lanes_[i]); }, 1);
  }

  void find_tissue_forces(std::span<Lane* const> lanes) {
    std::vector<Eigen::VectorXd> moved;
    std::vector<Eigen::VectorXd*> forces;
    for (Lane* const lane : lanes) {
      if (lane->knows_tissue_forces()) continue;
      if (tissues_ == Tissues::each_its_own) {
        lane->find_own_tissue_forces();
        continue;
      }
      moved.push_back(lane->moved());
      forces.push_back(&lane->tissue_forces());
    }
    if (!moved.empty()) leader_.balance().tissue_forces(moved, forces);
  }

  /// Whether any lane has to be solved for. Lanes that one thread looks at read the tissues' rows once.
  bool look(std::size_t event, bool last) {
    std::vector<Lane*> trying;
    for (const auto& lane : lanes_)
      if (lane->is_trying()) trying.push_back(lane.get());
    const auto parts = std::min(trying.size(), static_cast<std::size_t>(omp_get_max_threads()));
    std::atomic<bool> unbalanced = false;
    parallel_for(
        parts,
        [&](std::size_t part) {
          const std::size_t first = trying.size() * part / parts, end = trying.size() * (part + 1) / parts;
          const std::span<Lane* const> own(trying.data() + first, end - first);
          find_tissue_forces(own);
          for (Lane* const lane : own)
            lane->guarded([&] {
              if (lane->look(event, last)) unbalanced = true;
            });
        },
        1);
    return unbalanced;
  }

  void set_values() {
    std::vector<std::span<const float>> moduli(lanes_.size()), bond(lanes_.size());
    for_lanes([](Lane& lane) {
      if (lane.is_trying()) lane.take_bond();
    });
    for (std::size_t i = 0; i < lanes_.size(); ++i) {
      if (!lanes_[i]->is_trying()) continue;
      moduli[i] = lanes_[i]->moduli();
      bond[i] = lanes_[i]->bond();
    }
    solver_->set_values(moduli, bond);
  }

  void solve() {
    std::vector<std::span<const double>> right(lanes_.size());
    std::vector<std::span<double>> correction(lanes_.size());
    std::vector<double> tolerance(lanes_.size(), 1.0);
    for_lanes([&](Lane& lane) {
      if (lane.is_trying()) lane.ask(equations_);
    });
    for (std::size_t i = 0; i < lanes_.size(); ++i) {
      if (!lanes_[i]->is_trying()) continue;
      right[i] = lanes_[i]->right();
      correction[i] = lanes_[i]->correction();
      tolerance[i] = lanes_[i]->tolerance();
    }
    double seconds = 0;
    const std::vector<LaneOutcome> solved = [&] {
      const Stopwatch watch(seconds);
      return solver_->solve(right, tolerance, most_iterations_, correction);
    }();
    const auto asking = std::ranges::count_if(lanes_, [](const auto& lane) { return lane->is_trying(); });
    parallel_for(
        lanes_.size(),
        [&](std::size_t i) {
          if (lanes_[i]->is_trying())
            lanes_[i]->take(equations_, solved[i], seconds / static_cast<double>(asking));
        },
        1);
  }

  Run leader_;
  std::vector<Event> leading_;
  Tissues tissues_;
  SharedEquations equations_;
  std::unique_ptr<LaneSolver> solver_;
  int most_iterations_;
  std::vector<std::unique_ptr<Lane>> lanes_;
};

}  // namespace

std::string differs_from(const Model& leader, const Model& model, const SolveOptions& options,
                         Tissues tissues) {
  if (options.mode != Mode::intact) return "the bond may let go";
  if (model.gap_fluid) return "gaps hold fluid";
  if (!model.timeline.bites.empty()) return "the filling is bitten on";
  if (options.linear_solver != LinearSolver::two_level) return "the direct solver is asked for";
  const auto same_surface = [](const FixedSurface& a, const FixedSurface& b) {
    return a.surface == b.surface && a.meeting == b.meeting && a.held == b.held;
  };
  if (!std::ranges::equal(leader.fixed, model.fixed, same_surface)) return "other surfaces are held";
  if (leader.foundations != model.foundations) return "the springs to the ground are others";
  const auto same_tissue = [](const RegionMaterial& a, const RegionMaterial& b) {
    return (std::holds_alternative<Composite>(a) && std::holds_alternative<Composite>(b)) || a == b;
  };
  if (tissues == Tissues::one_for_all && !std::ranges::equal(leader.materials, model.materials, same_tissue))
    return "the tissues are others";
  const auto same_event = [](const Event& a, const Event& b) { return a.placements == b.placements; };
  if (!std::ranges::equal(schedule(leader.timeline), schedule(model.timeline), same_event))
    return "what happens comes in another order";
  return {};
}

std::vector<MemberOutcome> simulate_together(const Model& leader, std::span<const Member> members,
                                             const SolveOptions& options, const SharedMesh& shared, int lanes,
                                             Tissues tissues, LaneMachine machine) {
  require_valid(leader);
  shared.require_fits(leader);
  for (const Member& member : members) {
    require_valid(*member.model);
    shared.require_fits(*member.model);
    if (const std::string why = differs_from(leader, *member.model, options, tissues); !why.empty())
      throw std::invalid_argument("a run cannot advance with the others: " + why);
  }
  if (members.size() > static_cast<std::size_t>(std::max(lanes, 0)))
    throw std::invalid_argument(fmt::format(
        "{} runs are to advance together in {} lanes; must be as many or fewer", members.size(), lanes));
  Group group(leader, members, options, shared, lanes, tissues, machine);
  group.run();
  return group.ended();
}

}  // namespace setstress
