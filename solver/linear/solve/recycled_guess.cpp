#include "solver/linear/solve/recycled_guess.hpp"

#include <vector>

#include "solver/linear/solve/nearly_parallel.hpp"

namespace setstress {

namespace {

constexpr double least_energy = 1e-12;  // of a solution: less is round-off

}  // namespace

/// Products of the matrix with all solutions, reading it once.
void RecycledGuess::multiply(const BlockMatrix& matrix) {
  using Entries = Eigen::Array<double, 1, bundle>;
  const NodeGraph& graph = *matrix.graph;
  products_.resize(solutions_.rows(), bundle);
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int place = 0; place < order_->nodes(); ++place) {
    const auto row = static_cast<std::size_t>(order_->node_at[static_cast<std::size_t>(place)]);
    Entries sum[3] = {Entries::Zero(), Entries::Zero(), Entries::Zero()};
    for (std::size_t k = graph.row_start[row]; k < graph.row_start[row + 1]; ++k) {
      const Block& block = matrix.values[k];
      const int other = order_->place_of[static_cast<std::size_t>(graph.column[k])];
      for (int j = 0; j < 3; ++j) {
        const Entries entries = solutions_.row(stride * other + j);
        for (int i = 0; i < 3; ++i) sum[i] += block(i, j) * entries;
      }
    }
    for (int i = 0; i < 3; ++i) products_.row(stride * place + i) = sum[i];
    products_.row(stride * place + 3).setZero();
  }
}

void RecycledGuess::improve(const BlockMatrix& matrix, Eigen::VectorXd& x, Eigen::VectorXd& residual) {
  if (solutions_.rows() != x.size()) return;
  multiply(matrix);
  // By parts, then over the parts in order: the same bits on any number of threads.
  std::vector<Gram> energy_of(static_cast<std::size_t>(order_->parts()));
  std::vector<GramColumn> work_of(energy_of.size());
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int part = 0; part < order_->parts(); ++part) {
    const auto [first, last] = order_->part(part);
    const auto solutions = solutions_.middleRows(stride * first, stride * (last - first));
    energy_of[static_cast<std::size_t>(part)].noalias() =
        solutions.transpose() * products_.middleRows(stride * first, stride * (last - first));
    work_of[static_cast<std::size_t>(part)].noalias() =
        solutions.transpose() * residual.segment(stride * first, stride * (last - first));
  }
  Gram energy = Gram::Zero();
  GramColumn work = GramColumn::Zero();
  for (std::size_t part = 0; part < energy_of.size(); ++part) {
    energy += energy_of[part];
    work += work_of[part];
  }
  const GramColumn combination = shares_in(0.5 * (energy + energy.transpose()), work, least_energy);
  if (!combination.allFinite()) return;
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int part = 0; part < order_->parts(); ++part) {
    const auto [first, last] = order_->part(part);
    x.segment(stride * first, stride * (last - first)) +=
        solutions_.middleRows(stride * first, stride * (last - first)) * combination;
    residual.segment(stride * first, stride * (last - first)) -=
        products_.middleRows(stride * first, stride * (last - first)) * combination;
  }
}

void RecycledGuess::remember(const Eigen::VectorXd& solution) {
  if (!solution.allFinite()) return;
  if (solutions_.rows() != solution.size()) solutions_ = Bundle::Zero(solution.size(), bundle);
  solutions_.col(next_) = solution;
  next_ = (next_ + 1) % bundle;
}

std::size_t RecycledGuess::bytes() const {
  return static_cast<std::size_t>(solutions_.size() + products_.size()) * sizeof(double);
}

}  // namespace setstress
