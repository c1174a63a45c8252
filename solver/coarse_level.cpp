#include "solver/coarse_level.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "solver/linear_solver.hpp"

namespace setstress {

std::vector<char> coupled_unknowns(const BlockMatrix& matrix) {
  const NodeGraph& graph = *matrix.graph;
  std::vector<char> coupled(3 * static_cast<std::size_t>(graph.nodes), 0);
#pragma omp parallel for schedule(static) if (graph.nodes > 8000)
  for (int row = 0; row < graph.nodes; ++row) {
    const auto r = static_cast<std::size_t>(row);
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t k = graph.row_start[r]; k < graph.row_start[r + 1] && !coupled[3 * r + i]; ++k)
        if (graph.column[k] != row)
          coupled[3 * r + i] = (matrix.values[k].row(static_cast<Eigen::Index>(i)).array() != 0).any();
  }
  return coupled;
}

CoarseLevel::CoarseLevel(const NodeGraph& graph, const SweepOrder& order) : graph_(&graph), order_(&order) {
  const auto nodes = static_cast<std::size_t>(graph.nodes);
  std::vector<int> number(nodes, -1);
  for (const int node : order.node_at)
    if (graph.parents[static_cast<std::size_t>(node)][0] == node) {
      number[static_cast<std::size_t>(node)] = static_cast<int>(node_of_.size());
      node_of_.push_back(node);
    }
  const int corners = static_cast<int>(node_of_.size());
  corner_of_.resize(nodes);
  child_start_.assign(static_cast<std::size_t>(corners) + 1, 0);
  for (std::size_t node = 0; node < nodes; ++node) {
    for (std::size_t side = 0; side < 2; ++side)
      corner_of_[node][side] = number.at(static_cast<std::size_t>(graph.parents[node][side]));
    if (corner_of_[node][0] < 0 || corner_of_[node][1] < 0)
      throw std::invalid_argument("node graph: the parent of an edge node is not a corner node");
    ++child_start_[static_cast<std::size_t>(corner_of_[node][0]) + 1];
    if (corner_of_[node][1] != corner_of_[node][0])
      ++child_start_[static_cast<std::size_t>(corner_of_[node][1]) + 1];
  }
  for (std::size_t c = 1; c < child_start_.size(); ++c) child_start_[c] += child_start_[c - 1];
  child_.resize(static_cast<std::size_t>(child_start_.back()));
  std::vector<int> next(child_start_.begin(), child_start_.end() - 1);
  for (std::size_t node = 0; node < nodes; ++node) {
    child_[static_cast<std::size_t>(next[static_cast<std::size_t>(corner_of_[node][0])]++)] =
        static_cast<int>(node);
    if (corner_of_[node][1] != corner_of_[node][0])
      child_[static_cast<std::size_t>(next[static_cast<std::size_t>(corner_of_[node][1])]++)] =
          static_cast<int>(node);
  }
  build_pattern();
  const BlockPattern pattern{corners, row_start_, column_};
  analysis_ = std::make_shared<const BlockCholesky>(pattern);
  multifrontal_ = std::make_shared<const Multifrontal>(
      pattern, std::make_shared<const SupernodalPattern>(analysis_->pattern()));
  values_.resize(column_.size());
  right_hand_side_.resize(3 * corners);
}

CoarseLevel::CoarseLevel(const CoarseLevel& other)
    : graph_(other.graph_),
      order_(other.order_),
      node_of_(other.node_of_),
      corner_of_(other.corner_of_),
      child_start_(other.child_start_),
      child_(other.child_),
      row_start_(other.row_start_),
      column_(other.column_),
      values_(column_.size()),
      analysis_(other.analysis_),
      multifrontal_(other.multifrontal_),
      right_hand_side_(3 * corners()) {}

/// Corners couple if any of the nodes they interpolate to do.
void CoarseLevel::build_pattern() {
  std::vector<int> last_seen(child_start_.size(), -1);
  row_start_.assign(1, 0);
  for (int corner = 0; corner < corners(); ++corner) {
    const auto begin = static_cast<std::ptrdiff_t>(column_.size());
    for (int c = child_start_[static_cast<std::size_t>(corner)];
         c < child_start_[static_cast<std::size_t>(corner) + 1]; ++c) {
      const auto node = static_cast<std::size_t>(child_[static_cast<std::size_t>(c)]);
      for (std::size_t k = graph_->row_start[node]; k < graph_->row_start[node + 1]; ++k)
        for (const int other : corner_of_[static_cast<std::size_t>(graph_->column[k])])
          if (std::exchange(last_seen[static_cast<std::size_t>(other)], corner) != corner)
            column_.push_back(other);
    }
    std::sort(column_.begin() + begin, column_.end());
    row_start_.push_back(column_.size());
  }
}

bool CoarseLevel::fits(const BlockMatrix& matrix) const {
  return coupled_ == coupled_unknowns(matrix);
}

/// One row of P' A P. `position` is scratch: by coarse number, where its block of this row is.
void CoarseLevel::accumulate_row(const BlockMatrix& matrix, int corner, std::vector<int>& position) {
  const auto row = static_cast<std::size_t>(corner);
  for (std::size_t k = row_start_[row]; k < row_start_[row + 1]; ++k) {
    position[static_cast<std::size_t>(column_[k])] = static_cast<int>(k);
    values_[k].setZero();
  }
  for (int c = child_start_[row]; c < child_start_[row + 1]; ++c) {
    const auto node = static_cast<std::size_t>(child_[static_cast<std::size_t>(c)]);
    const double row_weight = corner_of_[node][0] == corner_of_[node][1] ? 1 : 0.5;
    for (std::size_t k = graph_->row_start[node]; k < graph_->row_start[node + 1]; ++k) {
      const auto other = static_cast<std::size_t>(graph_->column[k]);
      Block block = 0.5 * row_weight * matrix.values[k];
      for (int i = 0; i < 3; ++i) {
        if (!coupled_[3 * node + static_cast<std::size_t>(i)]) block.row(i).setZero();
        if (!coupled_[3 * other + static_cast<std::size_t>(i)]) block.col(i).setZero();
      }
      for (const int parent : corner_of_[other])
        values_[static_cast<std::size_t>(position[static_cast<std::size_t>(parent)])] += block;
    }
  }
}

void CoarseLevel::renew(const BlockMatrix& matrix) {
  coupled_ = coupled_unknowns(matrix);
  corner_coupled_.assign(3 * static_cast<std::size_t>(corners()), 0);
  for (int corner = 0; corner < corners(); ++corner)
    std::copy_n(coupled_.begin() + 3 * node_of_[static_cast<std::size_t>(corner)], 3,
                corner_coupled_.begin() + 3 * corner);
#pragma omp parallel if (order_->worth_threads())
  {
    std::vector<int> position(static_cast<std::size_t>(corners()), -1);
#pragma omp for schedule(dynamic, 64)
    for (int corner = 0; corner < corners(); ++corner) accumulate_row(matrix, corner, position);
  }
  decouple_corners();
  factorise();
}

/// Where single precision was not enough once, it will not be later; a matrix that double precision refuses
/// too says nothing about the next.
void CoarseLevel::factorise() {
  if (!careful_ && multifrontal_->factorise(values_, factor_)) return;
  if (!careful_) careful_ = std::make_unique<BlockCholesky>(*analysis_);
  try {
    careful_->factorise(values_);
    careful_->copy_to(multifrontal_->pattern(), factor_);
  } catch (const NotPositiveDefinite& found) {
    careful_.reset();
    throw NotPositiveDefinite(node_of_[static_cast<std::size_t>(found.node)], found.component);
  }
}

/// A corner without couplings stays at zero: identity row, so that its edge nodes see a held parent.
void CoarseLevel::decouple_corners() {
  for (int corner = 0; corner < corners(); ++corner)
    for (std::size_t k = row_start_[static_cast<std::size_t>(corner)];
         k < row_start_[static_cast<std::size_t>(corner) + 1]; ++k)
      for (int i = 0; i < 3; ++i) {
        const bool row_free = corner_coupled_[static_cast<std::size_t>(3 * corner + i)];
        if (!row_free) values_[k].row(i).setZero();
        if (!corner_coupled_[static_cast<std::size_t>(3 * column_[k] + i)]) values_[k].col(i).setZero();
        if (!row_free && column_[k] == corner) values_[k](i, i) = 1;
      }
}

void CoarseLevel::correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z) {
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int corner = 0; corner < corners(); ++corner) {
    Eigen::Vector3f sum = Eigen::Vector3f::Zero();
    for (int c = child_start_[static_cast<std::size_t>(corner)];
         c < child_start_[static_cast<std::size_t>(corner) + 1]; ++c) {
      const auto node = static_cast<std::size_t>(child_[static_cast<std::size_t>(c)]);
      const float weight = corner_of_[node][0] == corner_of_[node][1] ? 1.0f : 0.5f;
      const int place = order_->place_of[node];
      for (int i = 0; i < 3; ++i)
        if (coupled_[3 * node + static_cast<std::size_t>(i)]) sum(i) += weight * residual(stride * place + i);
    }
    for (int i = 0; i < 3; ++i)
      right_hand_side_(3 * corner + i) =
          corner_coupled_[static_cast<std::size_t>(3 * corner + i)] ? sum(i) : 0;
  }
  factor_.solve(right_hand_side_, solution_);
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int place = 0; place < order_->nodes(); ++place) {
    const auto node = static_cast<std::size_t>(order_->node_at[static_cast<std::size_t>(place)]);
    const auto [a, b] = corner_of_[node];
    for (int i = 0; i < 3; ++i)
      if (coupled_[3 * node + static_cast<std::size_t>(i)])
        z(stride * place + i) += 0.5f * (solution_(3 * a + i) + solution_(3 * b + i));
  }
}

std::size_t CoarseLevel::bytes() const {
  return analysis_->bytes() + multifrontal_->bytes() + (careful_ ? careful_->bytes() : 0) + factor_.bytes() +
         values_.size() * sizeof(Block) + column_.size() * sizeof(int) +
         (corner_of_.size() + child_.size()) * 2 * sizeof(int) + coupled_.size();
}

}  // namespace setstress
