#include "solver/group/step_guess.hpp"

#include "solver/linear/solve/nearly_parallel.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_steps = 4;   // more bring next to nothing
constexpr double least_energy = 1e-11;  // of a step: less is not told from round-off

Eigen::VectorXd by_point(const std::vector<std::array<double, 4>>& values) {
  return Eigen::Map<const Eigen::VectorXd>(values.front().data(),
                                           4 * static_cast<Eigen::Index>(values.size()));
}

}  // namespace

/// Of each former step, what the one tried has of it: its shrinkage fitted by theirs, where the filling is
/// stiff more than where it is soft.
std::optional<Eigen::VectorXd> StepGuess::shares(const Trial& trial) const {
  const Eigen::VectorXd stiffness = by_point(trial.cure.mean_modulus),
                        wanted = by_point(trial.cure.free_strain);
  const auto count = static_cast<Eigen::Index>(steps_.size());
  Gram gram = Gram::Zero();
  GramColumn products = GramColumn::Zero();
  for (Eigen::Index i = 0; i < count; ++i) {
    const Eigen::VectorXd stress = stiffness.cwiseProduct(steps_[static_cast<std::size_t>(i)].shrunk);
    products(i) = stress.dot(wanted);
    for (Eigen::Index j = 0; j <= i; ++j)
      gram(i, j) = gram(j, i) = stress.dot(steps_[static_cast<std::size_t>(j)].shrunk);
  }
  if (count == 0 || !(gram.diagonal().head(count).minCoeff() > 0)) return std::nullopt;
  Eigen::VectorXd found = shares_in(gram, products, least_energy).head(count);
  return found.allFinite() ? std::optional(std::move(found)) : std::nullopt;
}

bool StepGuess::improve(const Run& run, Trial& trial) const {
  if (trial.cure.free_strain.empty()) return false;
  const auto found = shares(trial);
  if (!found) return false;
  Eigen::VectorXd moved = Eigen::VectorXd::Zero(trial.step.size());
  bool known = forces_.has_value();
  if (known) trial.constant = *forces_;
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    const double share = (*found)(static_cast<Eigen::Index>(i));
    moved += share * steps_[i].moved;
    known = known && steps_[i].forces.size() > 0;
    if (known) trial.constant += share * steps_[i].forces;
  }
  const std::vector<char>& decoupled = run.balance().decoupled();
  for (Eigen::Index dof = 0; dof < moved.size(); ++dof) {
    if (!decoupled[static_cast<std::size_t>(dof)])
      trial.step(dof) = moved(dof);
    else
      known = known && trial.step(dof) == moved(dof);
  }
  return known;
}

void StepGuess::remember(const Trial& trial) {
  steps_.push_front({trial.step, by_point(trial.cure.free_strain), {}});
  if (forces_) steps_.front().forces = trial.constant - *forces_;
  forces_ = trial.constant;
  if (steps_.size() > most_steps) steps_.pop_back();
}

}  // namespace setstress
