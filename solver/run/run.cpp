#include "solver/run/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/body/placement.hpp"
#include "solver/bond/tied_bond.hpp"
#include "solver/element/beside_facet.hpp"
#include "solver/machine/stopwatch.hpp"

namespace setstress {
namespace {

// The next step had better be shorter. More than tight balance takes (up to 8), so that round-off, which may
// add one, does not decide.
constexpr int many_equilibrium_iterations = 10;
constexpr double shortest_step = 1e-7;  // [s]
constexpr double coincidence = 1e-6;    // of a step: what may be round-off
// [N mm]: far above what linear solves leave where bodies are moved as a whole, before anything is strained.
constexpr double negligible_energy = 1e-7;

/// By node: part of a tissue or fixture.
std::vector<char> nodes_in_use(const Mesh& mesh, const ElasticBody& body) {
  std::vector<char> active(mesh.nodes.size(), 0);
  for (const int node : body.tetrahedra().node) active[static_cast<std::size_t>(node)] = 1;
  return active;
}

std::vector<ContactPatch> contact_patches(const Model& model) {
  std::vector<ContactPatch> patches;
  for (const Bite& bite : model.timeline.bites) patches.push_back(contact_patch(model.mesh, bite));
  return patches;
}

/// By region: there from the start.
std::vector<char> regions_there(const Mesh& mesh) {
  std::vector<char> placed(mesh.regions.size(), 0);
  for (std::size_t i = 0; i < placed.size(); ++i) placed[i] = !mesh.regions[i].is_filling();
  return placed;
}

}  // namespace

Run::Run(const Model& model, const SolveOptions& options, const SharedMesh& shared, const Run* alike)
    : model_(model),
      options_(options),
      shared_(shared),
      cure_(model, shared.light()),
      body_(model),
      filling_(model, cure_),
      bond_(model),
      held_(held_components(model)),
      contacts_(contact_patches(model)),
      active_(nodes_in_use(model.mesh, body_)),
      placed_(regions_there(model.mesh)),
      balance_(model_, options_, shared_, tissues_of(alike), filling_, bond_, timings_) {
  balance_.restrict_to(active_, held_);
  displacement_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  internal_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  external_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  free_strain_.forces = Eigen::VectorXd::Zero(model.mesh.unknowns());
}

std::shared_ptr<const TissueMatrix> Run::tissues_of(const Run* alike) const {
  const Stopwatch watch(timings_.setup);
  return alike != nullptr ? alike->balance_.tissues() : tissue_matrix(body_, shared_);
}

void Run::begin(const Event& event) {
  for (const int increment : event.placements) {
    place_on_deformed_shape(model_, increment, active_, displacement_);
    for (std::size_t region = 0; region < placed_.size(); ++region)
      if (model_.mesh.regions[region].increment == increment) placed_[region] = 1;
  }
  if (!event.placements.empty()) {
    filling_.place(placed_);
    bond_.place(placed_);
    balance_.restrict_to(active_, held_);
  }
  {
    const Stopwatch watch(timings_.cure);
    cure_.set_light(placed_, event.lit);
  }
  event_ = event.time;
  longest_step_ = event.longest_step;
  since_event_ = 0.0;
  light_on_ = !event.lit.empty();
  next_step_ = 1e300;
  last_duration_ = 0.0;
  fill_gaps();
}

/// Finds which gaps are enclosed now and hands their fluid on.
void Run::fill_gaps() {
  if (!model_.gap_fluid || time_ < model_.gap_fluid->from) return;
  if (!pockets_) pockets_.emplace(model_);
  Frame now;
  now.time = time_;
  now.placed = placed_;
  now.bond = bond_.points(time_);
  pockets_->renew(now);
}

void Run::settle() {
  const bool pushed = !model_.pressures.empty();
  const bool moved =
      std::any_of(held_.begin(), held_.end(), [](const HeldComponent& h) { return h.value != 0.0; });
  const bool strained = !model_.free_strains.empty();
  if ((pushed || moved || strained) && !attempt(0.0))
    throw SolveError("equilibrium under the loads that act at once was not found");
}

/// Duration of the next step that is worth trying [s], with `left` until the next event.
double Run::promising_step(double left) const {
  if (!options_.instants.empty()) {
    const auto next =
        std::upper_bound(options_.instants.begin(), options_.instants.end(), time_ + shortest_step);
    return next == options_.instants.end() ? left : std::min(left, *next - time_);
  }
  double longest = std::min({options_.largest_time_step, next_step_, longest_step_});
  longest = std::min(longest, cure_.safe_step(options_.largest_conversion_step));
  if (left > 20.0 * longest) return longest;
  // Equal shares of what is left, so that no sliver of a step remains before the event.
  return left / std::max(1.0, std::ceil(left / longest - coincidence));
}

void Run::advance(double until) {
  const double whole = interval(event_, until), left = whole - since_event_;
  double duration = promising_step(left);
  int failed = 0;
  for (; !attempt(duration); ++failed) {
    ++timings_.rejected_steps;
    duration *= 0.5;
    if (duration < shortest_step)
      throw SolveError(
          fmt::format("equilibrium was not found at {:.6g} s although the step was cut to {:.1e} s; a longer "
                      "viscous time "
                      "(now {:g} s) or a finer mesh may help",
                      time_, duration, options_.viscous_time));
  }
  if (failed > 0) next_step_ = std::min(next_step_, 1.2 * duration);
  hit(until);
}

/// The time is `until` where nothing but round-off is left to it.
void Run::hit(double until) {
  const double whole = interval(event_, until);
  if (whole - since_event_ <= 1e-9 * whole) time_ = until;
}

Trial Run::propose(double until) const {
  return begun(promising_step(interval(event_, until) - since_event_));
}

void Run::accept(Trial trial, double until) {
  const double now = end_of(trial);
  commit(std::move(trial), now);
  hit(until);
}

const BlockMatrix& Run::lead(double until) {
  Trial trial = propose(until);
  static_cast<void>(balance_.look(trial, displacement_, step_times(end_of(trial))));  // tangents
  const BlockMatrix& matrix = balance_.matrix_of(trial);
  accept(std::move(trial), until);
  return matrix;
}

/// A step that is to be tried, from where the last one seems to lead.
Trial Run::begun(double duration) const {
  Trial trial;
  trial.duration = duration;
  {
    const Stopwatch watch(timings_.cure);
    trial.cured = cure_.advanced(duration);
    trial.cure = filling_.cure_step(trial.cured, duration);
  }
  const double now = end_of(trial);
  trial.loads = pressure_forces(model_, now);
  trial.bitten = bite_forces(now);
  if (trial.bitten.size() > 0) trial.loads += trial.bitten;
  if (pockets_) trial.pockets = PocketStep(pockets_->pockets(), *model_.gap_fluid, duration);
  trial.free_strain = body_.free_strain_load(now);
  trial.step = Eigen::VectorXd::Zero(displacement_.size());
  if (last_duration_ > 0.0) trial.step = duration / last_duration_ * last_step_;
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    trial.step(dof) = held.value * ramp_share(now, held.ramp) - displacement_(dof);
  }
  return trial;
}

bool Run::attempt(double duration) {
  Trial trial = begun(duration);
  const double now = end_of(trial);
  balance_.find(trial, displacement_, step_times(now));
  const bool too_far = options_.mode == Mode::debonding &&
                       trial.bond.largest_softening > options_.largest_softening_step &&
                       duration > instant * options_.viscous_time;
  if (!trial.balanced || too_far) return false;
  const double softening = trial.bond.largest_softening;
  double growth = 2.0;
  if (softening > 0.0) growth = std::clamp(0.7 * options_.largest_softening_step / softening, 0.3, 2.0);
  if (trial.iterations > many_equilibrium_iterations) growth = std::min(growth, 0.7);
  // In sixteenths, so that round-off does not decide where steps fall.
  growth = std::round(16.0 * growth) / 16.0;
  if (options_.mode == Mode::debonding && duration > 0.0) next_step_ = growth * duration;
  commit(std::move(trial), now);
  return true;
}

/// Of the bites that act at `now` [N]; empty where the plan has none.
Eigen::VectorXd Run::bite_forces(double now) const {
  Eigen::VectorXd forces;
  if (!contacts_.empty()) forces.setZero(displacement_.size());
  for (std::size_t b = 0; b < contacts_.size(); ++b)
    if (const double share = model_.timeline.bites[b].share_at(now); share > 0)
      forces += share * contacts_[b].forces;
  return forces;
}

BondStepTimes Run::step_times(double now) const {
  return {.before = time_,
          .now = now,
          .viscous_time = options_.viscous_time,
          .may_soften = options_.mode == Mode::debonding};
}

void Run::commit(Trial trial, double now) {
  const BondStepTimes times = step_times(now);
  energies_.load_work += 0.5 * (external_ + trial.external).dot(trial.step);
  if (trial.bitten.size() > 0) {
    if (bitten_.size() == 0) bitten_.setZero(trial.bitten.size());
    energies_.bite_work += 0.5 * (bitten_ + trial.bitten).dot(trial.step);
    bitten_ = std::move(trial.bitten);
  }
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    const double reaction =
        0.5 * (internal_(dof) - external_(dof) + trial.internal(dof) - trial.external(dof));
    energies_.load_work += reaction * trial.step(dof);
  }
  if (pockets_) {
    Eigen::VectorXd wetted = trial.pockets.forces();
    if (wetted.size() == 0) wetted.setZero(trial.step.size());
    if (wetted_.size() == 0) wetted_.setZero(trial.step.size());
    energies_.fluid_work += 0.5 * (wetted_ + wetted).dot(trial.step);
    wetted_ = std::move(wetted);
    trial.pockets.commit(trial.step, pockets_->pockets());
  }
  energies_.shrinkage_work +=
      trial.free_strain.energy - free_strain_.energy -
      (displacement_ + 0.5 * trial.step).dot(trial.free_strain.forces - free_strain_.forces);
  const BondEnergies bond = bond_.commit(std::move(trial.bond), trial.step, times);
  const FillingEnergies filling = filling_.commit(std::move(trial.filling), trial.cure);
  cure_.commit(std::move(trial.cured));
  displacement_ += trial.step;
  last_step_ = std::move(trial.step);
  last_duration_ = trial.duration;
  internal_ = std::move(trial.internal);
  external_ = std::move(trial.external);
  free_strain_ = std::move(trial.free_strain);
  time_ = now;
  since_event_ += last_duration_;
  ++timings_.steps;
  if (pockets_) fill_gaps();

  energies_.elastic_support = body_.support_energy(displacement_);
  energies_.elastic_tooth = 0.5 * displacement_.dot(trial.constant) - energies_.elastic_support -
                            displacement_.dot(free_strain_.forces) + free_strain_.energy;
  energies_.elastic_filling = filling.elastic;
  energies_.elastic_bond = bond.elastic;
  energies_.set_in += filling.set_in + bond.set_in;
  energies_.flow += filling.flow;
  energies_.shrinkage_work += filling.shrinkage_work;
  energies_.fracture += bond.fracture;
  energies_.viscous += bond.viscous;
}

double Run::energy_error() const {
  const double work = energies_.shrinkage_work + energies_.load_work;
  const double scale = std::max(std::abs(energies_.shrinkage_work), std::abs(energies_.load_work));
  return std::abs(work - energies_.sum_of_sinks()) / std::max(scale, negligible_energy);
}

std::vector<std::array<BondPoint, 6>> Run::bond_points(
    const std::vector<std::array<Vector6d, 4>>& stress) const {
  std::vector<std::array<BondPoint, 6>> points = bond_.points(time_);
  add_tied_bond(model_, placed_, stress, time_, points);
  return points;
}

Frame Run::frame(const std::string& event) const {
  const Stopwatch watch(timings_.frames);
  Frame frame;
  frame.time = time_;
  frame.since_event = since_event_;
  frame.event = event;
  frame.placed = placed_;
  frame.displacement = displacement_;
  frame.stress.resize(model_.mesh.tetrahedra.size());
  body_.add_stress(displacement_, time_, frame.stress);
  filling_.add_stress(frame.stress);
  frame.conversion.assign(model_.mesh.tetrahedra.size(), {});
  for (std::size_t i = 0; i < cure_.filling().size(); ++i)
    for (std::size_t p = 0; p < 4; ++p)
      frame.conversion[static_cast<std::size_t>(cure_.filling()[i])][p] = cure_.states()[i][p].conversion;
  for (std::size_t node = 0; node < active_.size(); ++node)
    if (!active_[node]) frame.displacement.segment<3>(3 * static_cast<Eigen::Index>(node)).setZero();
  frame.bond = bond_points(frame.stress);
  for (std::size_t f = 0; f < frame.bond.size(); ++f) {
    const double conversion = mean_beside(model_.mesh, model_.mesh.bond[f], frame.conversion);
    for (BondPoint& point : frame.bond[f]) point.conversion = conversion;
  }
  frame.reactions.assign(model_.fixed.size(), Eigen::Vector3d::Zero());
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    frame.reactions[static_cast<std::size_t>(held.hold)](held.component) += internal_(dof) - external_(dof);
  }
  frame.energies = energies_;
  for (const Bite& bite : model_.timeline.bites) frame.bite_force += bite.force * bite.share_at(time_);
  if (pockets_) frame.pockets = pockets_->told();
  frame.light_on = light_on_;
  return frame;
}

}  // namespace setstress
