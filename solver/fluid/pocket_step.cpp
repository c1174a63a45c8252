#include "solver/fluid/pocket_step.hpp"

#include <Eigen/LU>
#include <cmath>

namespace setstress {
namespace {

constexpr double volume_tolerance = 1e-9;    // of a gap's volume
constexpr double negligible_volume = 1e-14;  // [mm3]

double tolerance(const Pocket& pocket) {
  return volume_tolerance * std::abs(pocket.gap_volume) + negligible_volume;
}

}  // namespace

PocketStep::PocketStep(const std::vector<Pocket>& pockets, const GapFluid& law, double duration)
    : pockets_(&pockets), law_(law), duration_(duration) {
  for (const Pocket& pocket : pockets) states_.push_back({pocket.pressure, pocket.full});
  list_unknown();
}

void PocketStep::list_unknown() {
  unknown_.clear();
  for (std::size_t k = 0; k < states_.size(); ++k)
    if (states_[k].full) unknown_.push_back(k);
}

Eigen::VectorXd PocketStep::forces() const {
  if (empty()) return {};
  Eigen::VectorXd forces = Eigen::VectorXd::Zero(pockets_->front().push.size());
  for (std::size_t k = 0; k < states_.size(); ++k) forces += states_[k].pressure * push(k);
  return forces;
}

double PocketStep::outflow(std::size_t k) const {
  return duration_ * (*pockets_)[k].conductance * (states_[k].pressure - law_.pulp_pressure);
}

double PocketStep::empty_volume(std::size_t k, const Eigen::VectorXd& step) const {
  const Pocket& pocket = (*pockets_)[k];
  return pocket.gap_volume - pocket.fluid + pocket.push.dot(step) + outflow(k);
}

bool PocketStep::settle(const Eigen::VectorXd& step) {
  bool settled = true;
  for (std::size_t k = 0; k < states_.size(); ++k) {
    const double left_empty = empty_volume(k, step), allowed = tolerance((*pockets_)[k]);
    if (states_[k].full) {
      settled = settled && std::abs(left_empty) <= allowed;
      const double lowest = (*pockets_)[k].lowest(law_);
      if (states_[k].pressure >= lowest) continue;
      states_[k] = {lowest, false};
      settled = false;
    } else if (left_empty < -allowed) {
      states_[k].full = true;
      settled = false;
    }
  }
  list_unknown();
  return settled;
}

void PocketStep::correct(const Eigen::VectorXd& step, const std::vector<Eigen::VectorXd>& yields,
                         Eigen::VectorXd& correction) {
  const auto count = static_cast<Eigen::Index>(unknown_.size());
  Eigen::MatrixXd schur(count, count);
  Eigen::VectorXd missing(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const std::size_t k = unknown_[static_cast<std::size_t>(i)];
    for (Eigen::Index j = 0; j < count; ++j) schur(i, j) = push(k).dot(yields[static_cast<std::size_t>(j)]);
    schur(i, i) += duration_ * (*pockets_)[k].conductance;
    missing(i) = -empty_volume(k, step) - push(k).dot(correction);
  }
  const Eigen::VectorXd change = schur.partialPivLu().solve(missing);
  for (Eigen::Index i = 0; i < count; ++i) {
    states_[unknown_[static_cast<std::size_t>(i)]].pressure += change(i);
    correction += change(i) * yields[static_cast<std::size_t>(i)];
  }
}

void PocketStep::commit(const Eigen::VectorXd& step, std::vector<Pocket>& pockets) const {
  for (std::size_t k = 0; k < states_.size(); ++k) {
    const double left = outflow(k);
    Pocket& pocket = pockets[k];
    pocket.gap_volume += pocket.push.dot(step);
    pocket.fluid -= left;
    pocket.outflow = duration_ > 0 ? left / duration_ : 0.0;
    pocket.pressure = states_[k].pressure;
    pocket.full = states_[k].full;
  }
}

}  // namespace setstress
