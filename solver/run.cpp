#include "solver/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/bond_tangent.hpp"
#include "solver/parallel.hpp"
#include "solver/placement.hpp"
#include "solver/stopwatch.hpp"
#include "solver/tetrahedron.hpp"
#include "solver/tied_bond.hpp"

namespace setstress {
namespace {

constexpr int most_equilibrium_iterations = 15;
// The next step had better be shorter. More than tight balance takes (up to 8), so that round-off, which may
// add one, does not decide.
constexpr int many_equilibrium_iterations = 10;
constexpr std::size_t patience = 4;  // iterations in which the force out of balance must fall to a quarter
constexpr double finest_correction = 0.003;  // relative residual, while the bond softens
constexpr double instant = 0.02;             // of the viscous time: steps this short may soften at will
constexpr double shortest_step = 1e-7;       // [s]
constexpr double negligible_force = 1e-3;    // [N]: smaller forces are balanced as well as this one
constexpr double coincidence = 1e-6;         // of a step: what may be round-off
// [N mm]: far above what linear solves leave where bodies are moved as a whole, before anything is strained.
constexpr double negligible_energy = 1e-7;

double mean_diagonal(const BlockMatrix& matrix) {
  double sum = 0.0;
  int count = 0;
  for (int node = 0; node < matrix.graph->nodes; ++node) {
    const double trace = matrix.values[matrix.graph->position(node, node)].trace();
    if (trace <= 0.0) continue;
    sum += trace / 3.0;
    ++count;
  }
  return count > 0 ? sum / count : 1.0;
}

}  // namespace

/// A step that is being tried.
struct Run::Trial {
  double duration;
  std::vector<CurePoints> cured;
  CureStep cure;
  Eigen::VectorXd step;        ///< displacement increment [mm]
  Eigen::VectorXd external;    ///< at the end of the step [N]
  FreeStrainLoad free_strain;  ///< at the end of the step
  FillingTrial filling;
  BondTrial bond;
  Eigen::VectorXd constant;  ///< forces of tissues and foundations, at the end of the step [N]
  Eigen::VectorXd internal;  ///< at the end of the step [N]
  Eigen::VectorXd residual;  ///< external less internal where nothing is prescribed [N]
  int iterations = 0;
  bool balanced = false;
};

Run::Run(const Model& model, const SolveOptions& options, const SharedMesh& shared)
    : model_(model),
      options_(options),
      shared_(shared),
      cure_(model, shared.light()),
      body_(model),
      filling_(model, cure_),
      bond_(model),
      bond_groups_(bond_groups(model.mesh)),
      constant_(shared.graph()),
      matrix_(shared.graph()) {
  const Stopwatch watch(timings_.setup);
  body_.add_stiffness(constant_, shared.body(), shared.ground());
  diagonal_ = mean_diagonal(constant_);
  solver_ = options.linear_solver == LinearSolver::direct
                ? make_direct_solver(shared.graph())
                : make_two_level_solver(shared.two_level(), options.most_linear_iterations);

  held_ = held_components(model);
  active_.assign(model.mesh.nodes.size(), 0);
  for (const int node : body_.tetrahedra().node) active_[static_cast<std::size_t>(node)] = 1;
  placed_.assign(model.mesh.regions.size(), 0);
  for (std::size_t i = 0; i < placed_.size(); ++i) placed_[i] = !model.mesh.regions[i].is_filling();
  update_free();
  matrix_ = constant_;
  decouple(matrix_, decoupled_, diagonal_);

  displacement_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  internal_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  external_ = Eigen::VectorXd::Zero(model.mesh.unknowns());
  free_strain_.forces = Eigen::VectorXd::Zero(model.mesh.unknowns());
}

void Run::update_free() {
  decoupled_.assign(3 * active_.size(), 0);
  for (std::size_t node = 0; node < active_.size(); ++node)
    for (std::size_t c = 0; c < 3; ++c) decoupled_[3 * node + c] = !active_[node];
  for (const HeldComponent& held : held_)
    decoupled_[static_cast<std::size_t>(3 * held.node + held.component)] = 1;
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
    update_free();
  }
  {
    const Stopwatch watch(timings_.cure);
    cure_.set_light(placed_, event.lit);
  }
  event_ = event.time;
  since_event_ = 0.0;
  light_on_ = !event.lit.empty();
  next_step_ = 1e300;
  last_duration_ = 0.0;
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
  double longest = std::min(options_.largest_time_step, next_step_);
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
  if (left - duration <= 1e-9 * whole) time_ = until;
}

bool Run::attempt(double duration) {
  Trial trial;
  trial.duration = duration;
  {
    const Stopwatch watch(timings_.cure);
    trial.cured = cure_.advanced(duration);
    trial.cure = filling_.cure_step(trial.cured);
  }
  const double now = event_ + (since_event_ + duration);
  trial.external = pressure_forces(model_, now);
  trial.free_strain = body_.free_strain_load(now);
  trial.step = Eigen::VectorXd::Zero(displacement_.size());
  if (last_duration_ > 0.0) trial.step = duration / last_duration_ * last_step_;
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    trial.step(dof) = held.value * ramp_share(now, held.ramp) - displacement_(dof);
  }
  balance(trial, now);
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

/// Fills the matrix of this step, where it can have changed, and returns the bond's part of it: its tangents
/// without negative stiffness.
BondTangents Run::assemble(const Trial& trial) {
  BondTangents stable = trial.bond.tangents;
  {
    const Stopwatch watch(timings_.assembly);
    copy_rows(constant_, shared_.changing_nodes(), matrix_);
    filling_.add_stiffness(matrix_, shared_.filling(), trial.cure);
    shared_.bond().for_each([&](int group) {
      const auto i = static_cast<std::size_t>(group);
      if (!bond_.is_active(i)) return;
      if (trial.bond.softens)
        for (Eigen::Matrix3d& tangent : stable[i]) tangent = stable_part(tangent);
      shared_.bond().add(matrix_, group, stiffness(bond_.geometry(i), stable[i]));
    });
    decouple(matrix_, shared_.changing_nodes(), decoupled_, diagonal_);
  }
  const Stopwatch watch(timings_.setup);
  if (trial.bond.softens) solver_->assign(matrix_);
  return stable;
}

Eigen::VectorXd Run::internal_forces(const Trial& trial) const {
  Eigen::VectorXd forces = trial.constant - trial.free_strain.forces;
  shared_.filling().for_each([&](int group) {
    const auto i = static_cast<std::size_t>(group);
    if (!filling_.is_placed(i)) return;
    const auto nodes = filling_.tetrahedra()[group];
    for (std::size_t a = 0; a < 10; ++a)
      forces.segment<3>(3 * nodes[a]) += trial.filling.nodal_forces[i].col(static_cast<Eigen::Index>(a));
  });
  shared_.bond().for_each([&](int group) {
    const auto i = static_cast<std::size_t>(group);
    if (!bond_.is_active(i)) return;
    const auto nodes = bond_groups_[group];
    for (std::size_t a = 0; a < 6; ++a) {
      const Eigen::Vector3d on_filling = trial.bond.filling_forces[i].col(static_cast<Eigen::Index>(a));
      forces.segment<3>(3 * nodes[6 + a]) += on_filling;
      forces.segment<3>(3 * nodes[a]) -= on_filling;
    }
  });
  return forces;
}

/// Stresses and forces at the trial displacement.
void Run::respond(Trial& trial, const BondStepTimes& times) const {
  const Stopwatch watch(timings_.bond_update);
  trial.filling = filling_.respond(trial.step, trial.cure);
  trial.bond = bond_.respond(trial.step, times);
  multiply(constant_, shared_.lasting_nodes(), displacement_ + trial.step, trial.constant);
  trial.internal = internal_forces(trial);
  trial.residual = trial.external - trial.internal;
  for (std::size_t dof = 0; dof < decoupled_.size(); ++dof)
    if (decoupled_[dof]) trial.residual(static_cast<Eigen::Index>(dof)) = 0.0;
}

/// Force out of balance [N] that counts as balanced.
double Run::allowed_residual(const Trial& trial) const {
  double filling_force = 0.0;
  for (const auto& element : trial.filling.nodal_forces) filling_force += element.squaredNorm();
  const double reference = std::max({std::sqrt(filling_force), trial.external.norm(), trial.internal.norm(),
                                     trial.free_strain.forces.norm()});
  const double round_off =
      std::numeric_limits<double>::epsilon() * diagonal_ * (displacement_ + trial.step).norm();
  return std::max(options_.equilibrium_tolerance * std::max(reference, negligible_force), round_off);
}

/// Newton's method with the bond's exact tangent. What is assembled, once a step, is the tangent's stable
/// part where the step starts: it preconditions, and the rest is added to its products.
void Run::balance(Trial& trial, double now) {
  const BondStepTimes times = step_times(now);
  BondTangents assembled;
  std::vector<double> out_of_balance;  // [N], by iteration
  for (trial.iterations = 0;; ++trial.iterations) {
    respond(trial, times);
    const double allowed = allowed_residual(trial);
    out_of_balance.push_back(trial.residual.norm());
    trial.balanced = out_of_balance.back() <= allowed;
    if (trial.balanced || is_hopeless(trial, out_of_balance)) return;
    if (assembled.empty()) assembled = assemble(trial);
    const double progress =
        trial.iterations == 0 ? 1 : out_of_balance.back() / out_of_balance[out_of_balance.size() - 2];
    correct(trial, assembled, allowed / out_of_balance.back(), progress);
  }
}

/// Whether a step had better be cut than iterated on.
bool Run::is_hopeless(const Trial& trial, const std::vector<double>& out_of_balance) const {
  const std::size_t iterations = out_of_balance.size() - 1;
  if (!std::isfinite(out_of_balance.back()) || trial.iterations == most_equilibrium_iterations) return true;
  if (iterations >= patience && out_of_balance.back() > 0.25 * out_of_balance[iterations - patience])
    return true;
  if (iterations < 2 || trial.duration <= instant * options_.viscous_time) return false;
  // A step that softens more than it may is seldom balanced by softening less.
  const bool nearer = out_of_balance.back() < 0.5 * out_of_balance[iterations - 1];
  return trial.bond.largest_softening > (nearer ? 2 : 1) * options_.largest_softening_step;
}

/// One Newton correction, with no more digits than this iteration can use: a linear step ends in balance, a
/// softening one gets the more the better it goes (Eisenstat and Walker 1996, SIAM J Sci Comput 17:16, second
/// choice; from memory). `wanted`: residual allowed over residual now; `progress`: residual now over that
/// before.
void Run::correct(Trial& trial, const BondTangents& assembled, double wanted, double progress) {
  const Stopwatch watch(timings_.linear_solve);
  Eigen::VectorXd correction = Eigen::VectorXd::Zero(trial.residual.size());
  LinearOutcome outcome;
  if (trial.bond.softens) {
    const BondCorrection rest(bond_, shared_.bond(), model_.mesh, assembled, trial.bond.tangents, decoupled_);
    const double loosest = options_.loosest_correction;
    const double tolerance = std::clamp(std::max(0.9 * progress * progress, 0.3 * wanted),
                                        std::min(finest_correction, loosest), loosest);
    outcome = solver_->solve_corrected([&](const Eigen::VectorXd& x, Eigen::VectorXd& y) { rest.add(x, y); },
                                       trial.residual, correction, tolerance);
  } else {
    outcome = solver_->solve(matrix_, trial.residual, correction,
                             std::clamp(0.3 * wanted, options_.linear_tolerance, 0.3));
  }
  trial.step += correction;
  ++timings_.equilibrium_iterations;
  ++timings_.linear_solves;
  timings_.linear_iterations += outcome.iterations;
  timings_.most_linear_iterations = std::max(timings_.most_linear_iterations, outcome.iterations);
  timings_.direct_fallbacks += outcome.fell_back;
  timings_.coarse_factorisations += outcome.factorised;
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
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    const double reaction =
        0.5 * (internal_(dof) - external_(dof) + trial.internal(dof) - trial.external(dof));
    energies_.load_work += reaction * trial.step(dof);
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

  energies_.elastic_support = body_.support_energy(displacement_);
  energies_.elastic_tooth = 0.5 * displacement_.dot(trial.constant) - energies_.elastic_support -
                            displacement_.dot(free_strain_.forces) + free_strain_.energy;
  energies_.elastic_filling = filling.elastic;
  energies_.elastic_bond = bond.elastic;
  energies_.set_in += filling.set_in + bond.set_in;
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
  frame.reactions.assign(model_.fixed.size(), Eigen::Vector3d::Zero());
  for (const HeldComponent& held : held_) {
    const int dof = 3 * held.node + held.component;
    frame.reactions[static_cast<std::size_t>(held.hold)](held.component) += internal_(dof) - external_(dof);
  }
  frame.energies = energies_;
  frame.light_on = light_on_;
  return frame;
}

}  // namespace setstress
