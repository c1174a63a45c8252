#include "solver/run/step_balance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/bond/bond_tangent.hpp"
#include "solver/machine/stopwatch.hpp"

namespace setstress {
namespace {

constexpr int most_equilibrium_iterations = 15;
constexpr std::size_t patience = 4;  // iterations in which the force out of balance must fall to a quarter
constexpr double finest_correction = 0.003;  // relative residual, while the bond softens
constexpr double yield_tolerance = 1e-3;     // relative residual of responses to pressure, in the same case
constexpr double old_yields = 0.5;           // residual now over that before from which they are found anew
constexpr double negligible_force = 1e-3;    // [N]: smaller forces are balanced as well as this one

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

std::shared_ptr<const TissueMatrix> tissue_matrix(const ElasticBody& body, const SharedMesh& shared) {
  BlockMatrix matrix(shared.graph());
  body.add_stiffness(matrix, shared.body(), shared.ground());
  const double diagonal = mean_diagonal(matrix);
  return std::make_shared<const TissueMatrix>(TissueMatrix{std::move(matrix), diagonal});
}

StepBalance::StepBalance(const Model& model, const SolveOptions& options, const SharedMesh& shared,
                         std::shared_ptr<const TissueMatrix> tissues, const Filling& filling,
                         const BondLayer& bond, Timings& timings)
    : model_(model),
      options_(options),
      shared_(shared),
      filling_(filling),
      bond_(bond),
      timings_(timings),
      bond_groups_(bond_groups(model.mesh)),
      tissues_(std::move(tissues)) {}

LinearSystemSolver& StepBalance::solver() {
  if (!solver_)
    solver_ = options_.linear_solver == LinearSolver::direct
                  ? make_direct_solver(shared_.graph())
                  : make_two_level_solver(shared_.two_level(), options_.most_linear_iterations);
  return *solver_;
}

void StepBalance::restrict_to(const std::vector<char>& active, const std::vector<HeldComponent>& held) {
  decoupled_.assign(3 * active.size(), 0);
  for (std::size_t node = 0; node < active.size(); ++node)
    for (std::size_t c = 0; c < 3; ++c) decoupled_[3 * node + c] = !active[node];
  for (const HeldComponent& one : held)
    decoupled_[static_cast<std::size_t>(3 * one.node + one.component)] = 1;
}

/// Newton's method with the bond's exact tangent. What is assembled, once a step, is the tangent's stable
/// part where the step starts: it preconditions, and the rest is added to its products.
void StepBalance::find(Trial& trial, const Eigen::VectorXd& displacement, const BondStepTimes& times) {
  BondTangents assembled;
  for (trial.iterations = 0; !look(trial, displacement, times); ++trial.iterations) {
    if (assembled.empty()) assembled = assemble(trial);
    correct(trial, assembled);
  }
}

bool StepBalance::look(Trial& trial, const Eigen::VectorXd& displacement, const BondStepTimes& times) const {
  {
    const Stopwatch watch(timings_.bond_update);
    multiply(tissues_->matrix, shared_.lasting_nodes(), displacement + trial.step, trial.constant);
  }
  return look_on(trial, displacement, times);
}

void StepBalance::tissue_forces(std::span<const Eigen::VectorXd> moved,
                                std::span<Eigen::VectorXd* const> forces) const {
  multiply(tissues_->matrix, shared_.lasting_nodes(), moved, forces);
}

bool StepBalance::look_on(Trial& trial, const Eigen::VectorXd& displacement,
                          const BondStepTimes& times) const {
  respond(trial, times);
  trial.allowed = allowed_residual(trial, displacement);
  trial.out_of_balance.push_back(trial.residual.norm());
  const bool in_balance = trial.out_of_balance.back() <= trial.allowed;
  trial.balanced = in_balance && trial.pockets.settle(trial.step);
  if (trial.balanced || trial.iterations == most_equilibrium_iterations) return true;
  return !in_balance && is_hopeless(trial);
}

double StepBalance::worthwhile_tolerance(const Trial& trial) const {
  return std::clamp(0.3 * (trial.allowed / trial.out_of_balance.back()), options_.linear_tolerance, 0.3);
}

/// Stresses and forces at the trial displacement, where those of tissues are known.
void StepBalance::respond(Trial& trial, const BondStepTimes& times) const {
  const Stopwatch watch(timings_.bond_update);
  trial.filling = filling_.respond(trial.step, trial.cure);
  trial.bond = bond_.respond(trial.step, times);
  trial.internal = internal_forces(trial);
  trial.external = trial.loads;
  if (!trial.pockets.empty()) trial.external += trial.pockets.forces();
  trial.residual = trial.external - trial.internal;
  for (std::size_t dof = 0; dof < decoupled_.size(); ++dof)
    if (decoupled_[dof]) trial.residual(static_cast<Eigen::Index>(dof)) = 0.0;
}

Eigen::VectorXd StepBalance::internal_forces(const Trial& trial) const {
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

/// Force out of balance [N] that counts as balanced.
double StepBalance::allowed_residual(const Trial& trial, const Eigen::VectorXd& displacement) const {
  double filling_force = 0.0;
  for (const auto& element : trial.filling.nodal_forces) filling_force += element.squaredNorm();
  const double reference = std::max({std::sqrt(filling_force), trial.external.norm(), trial.internal.norm(),
                                     trial.free_strain.forces.norm()});
  const double round_off =
      std::numeric_limits<double>::epsilon() * tissues_->diagonal * (displacement + trial.step).norm();
  return std::max(options_.equilibrium_tolerance * std::max(reference, negligible_force), round_off);
}

/// Whether a step had better be cut than iterated on.
bool StepBalance::is_hopeless(const Trial& trial) const {
  const std::vector<double>& out_of_balance = trial.out_of_balance;
  const std::size_t iterations = out_of_balance.size() - 1;
  if (!std::isfinite(out_of_balance.back()) || trial.iterations == most_equilibrium_iterations) return true;
  if (iterations >= patience && out_of_balance.back() > 0.25 * out_of_balance[iterations - patience])
    return true;
  if (iterations < 2 || trial.duration <= instant * options_.viscous_time) return false;
  // A step that softens more than it may is seldom balanced by softening less.
  const bool nearer = out_of_balance.back() < 0.5 * out_of_balance[iterations - 1];
  return trial.bond.largest_softening > (nearer ? 2 : 1) * options_.largest_softening_step;
}

/// Fills the matrix of this step, where it can have changed, and returns the bond's part of it: its tangents
/// without negative stiffness.
BondTangents StepBalance::assemble(const Trial& trial) {
  BondTangents stable = trial.bond.tangents;
  if (!matrix_) fill_whole_matrix();
  {
    const Stopwatch watch(timings_.assembly);
    copy_rows(tissues_->matrix, shared_.changing_nodes(), *matrix_);
    filling_.add_stiffness(*matrix_, shared_.filling(), trial.cure);
    shared_.bond().for_each([&](int group) {
      const auto i = static_cast<std::size_t>(group);
      if (!bond_.is_active(i)) return;
      if (trial.bond.softens)
        for (Eigen::Matrix3d& tangent : stable[i]) tangent = stable_part(tangent);
      shared_.bond().add(*matrix_, group, stiffness(bond_.geometry(i), stable[i]));
    });
    decouple(*matrix_, shared_.changing_nodes(), decoupled_, tissues_->diagonal);
  }
  const Stopwatch watch(timings_.setup);
  if (trial.bond.softens) solver().assign(*matrix_);
  return stable;
}

const BlockMatrix& StepBalance::matrix_of(const Trial& trial) {
  static_cast<void>(assemble(trial));
  return *matrix_;
}

/// Every row, once: later steps renew the rows of filling and bond alone.
void StepBalance::fill_whole_matrix() {
  const Stopwatch watch(timings_.setup);
  matrix_ = tissues_->matrix;
  decouple(*matrix_, decoupled_, tissues_->diagonal);
}

/// Solves with the tangent of the present iteration: A, and what the softening bond adds to it.
LinearOutcome StepBalance::solve(const Trial& trial, const BondTangents& assembled,
                                 const Eigen::VectorXd& forces, double tolerance, Eigen::VectorXd& moved) {
  moved = Eigen::VectorXd::Zero(forces.size());
  LinearOutcome outcome;
  if (trial.bond.softens) {
    const BondCorrection rest(bond_, shared_.bond(), model_.mesh, assembled, trial.bond.tangents, decoupled_);
    outcome = solver().solve_corrected([&](const Eigen::VectorXd& x, Eigen::VectorXd& y) { rest.add(x, y); },
                                       forces, moved, tolerance);
  } else {
    outcome = solver().solve(*matrix_, forces, moved, tolerance);
  }
  ++timings_.linear_solves;
  timings_.linear_iterations += outcome.iterations;
  timings_.most_linear_iterations = std::max(timings_.most_linear_iterations, outcome.iterations);
  timings_.direct_fallbacks += outcome.fell_back;
  timings_.coarse_factorisations += outcome.factorised;
  return outcome;
}

/// Whether yields are there for the pockets whose pressures are unknown.
bool StepBalance::has_yields(const PocketStep& pockets) const {
  return std::ranges::equal(pockets.unknown(), yields_of_, {},
                            [&](std::size_t pocket) { return pockets.points(pocket); });
}

/// How the body yields to the unknown pressures, with the tangent of the present iteration.
void StepBalance::find_yields(const Trial& trial, const BondTangents& assembled) {
  yields_.clear();
  yields_of_.clear();
  for (const std::size_t pocket : trial.pockets.unknown()) {
    yields_of_.push_back(trial.pockets.points(pocket));
    Eigen::VectorXd push = trial.pockets.push(pocket), moved;
    for (std::size_t dof = 0; dof < decoupled_.size(); ++dof)
      if (decoupled_[dof]) push(static_cast<Eigen::Index>(dof)) = 0.0;
    solve(trial, assembled, push, trial.bond.softens ? yield_tolerance : options_.linear_tolerance, moved);
    yields_.push_back(std::move(moved));
  }
}

/// One Newton correction, with no more digits than this iteration can use: a linear step ends in balance, a
/// softening one gets the more the better it goes (Eisenstat and Walker 1996, SIAM J Sci Comput 17:16, second
/// choice; from memory). Yields of former steps serve as long as they help: what they leave out of balance,
/// or of a gap's volume, is the next iteration's to correct.
void StepBalance::correct(Trial& trial, const BondTangents& assembled) {
  const Stopwatch watch(timings_.linear_solve);
  const std::vector<double>& residual = trial.out_of_balance;
  const double progress = trial.iterations == 0 ? 1 : residual.back() / residual[residual.size() - 2];
  double tolerance = worthwhile_tolerance(trial);
  if (trial.bond.softens) {
    const double loosest = options_.loosest_correction, wanted = trial.allowed / residual.back();
    tolerance = std::clamp(std::max(0.9 * progress * progress, 0.3 * wanted),
                           std::min(finest_correction, loosest), loosest);
  }
  Eigen::VectorXd correction;
  solve(trial, assembled, trial.residual, tolerance, correction);
  if (!trial.pockets.unknown().empty()) {
    const bool old = progress > old_yields && trial.iterations > 0;
    if (old || !has_yields(trial.pockets)) find_yields(trial, assembled);
    trial.pockets.correct(trial.step, yields_, correction);
  }
  trial.step += correction;
  ++timings_.equilibrium_iterations;
}

}  // namespace setstress
