#include "solver/linear/coarse/coarse_level.hpp"

#include <algorithm>
#include <iterator>
#include <stdexcept>
#include <utility>

#include "solver/linear/matrix/not_positive_definite.hpp"
#include "solver/linear/sweep/short_vector.hpp"

namespace setstress {

std::vector<char> coupled_unknowns(const BlockMatrix& matrix) {
  const NodeGraph& graph = *matrix.graph;
  std::vector<char> coupled(3 * static_cast<std::size_t>(graph.nodes), 0);
#pragma omp parallel for schedule(static) if (graph.nodes > 1000)
  for (int row = 0; row < graph.nodes; ++row) {
    const auto r = static_cast<std::size_t>(row);
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t k = graph.row_start[r]; k < graph.row_start[r + 1] && !coupled[3 * r + i]; ++k)
        if (graph.column[k] != row)
          coupled[3 * r + i] = (matrix.values[k].row(static_cast<Eigen::Index>(i)).array() != 0).any();
  }
  return coupled;
}

CoarseLevel::CoarseLevel(const NodeGraph& graph, const SweepOrder& order, int most_factorised)
    : graph_(&graph), order_(&order) {
  const auto nodes = static_cast<std::size_t>(graph.nodes);
  std::vector<int> number(nodes, -1);
  for (const int node : order.node_at)
    if (graph.parents[static_cast<std::size_t>(node)][0] == node) {
      number[static_cast<std::size_t>(node)] = static_cast<int>(node_of_.size());
      node_of_.push_back(node);
    }
  corner_of_.resize(nodes);
  child_start_.assign(node_of_.size() + 1, 0);
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
  for (std::size_t c = 0; c < node_of_.size(); ++c)  // itself comes first
    child_[static_cast<std::size_t>(next[c]++)] = order.place_of[static_cast<std::size_t>(node_of_[c])];
  for (std::size_t node = 0; node < nodes; ++node)
    if (corner_of_[node][1] != corner_of_[node][0])
      for (const int corner : corner_of_[node])
        child_[static_cast<std::size_t>(next[static_cast<std::size_t>(corner)]++)] = order.place_of[node];
  corner_graph_ = std::make_shared<const NodeGraph>(couple_corners());
  matrix_ = std::make_unique<BlockMatrix>(*corner_graph_);
  if (corners() > most_factorised)
    cycle_ = std::make_unique<CornerCycle>(*corner_graph_, edges());
  else
    factor_ = std::make_unique<CoarseFactor>(pattern());
  right_hand_side_.resize(3 * corners());
}

CoarseLevel::CoarseLevel(const CoarseLevel& other)
    : graph_(other.graph_),
      order_(other.order_),
      node_of_(other.node_of_),
      corner_of_(other.corner_of_),
      child_start_(other.child_start_),
      child_(other.child_),
      corner_graph_(other.corner_graph_),
      matrix_(std::make_unique<BlockMatrix>(*corner_graph_)),
      factor_(other.factor_ ? std::make_unique<CoarseFactor>(*other.factor_) : nullptr),
      cycle_(other.cycle_ ? std::make_unique<CornerCycle>(*other.cycle_) : nullptr),
      right_hand_side_(3 * corners()) {}

/// Corners couple if any of the nodes they interpolate to do.
NodeGraph CoarseLevel::couple_corners() const {
  NodeGraph result;
  result.nodes = corners();
  result.row_start.assign(1, 0);
  std::vector<int> last_seen(child_start_.size(), -1);
  for (int corner = 0; corner < corners(); ++corner) {
    const auto c = static_cast<std::size_t>(corner);
    result.parents.push_back({corner, corner});
    result.coordinates.push_back(graph_->coordinates[static_cast<std::size_t>(node_of_[c])]);
    const auto begin = static_cast<std::ptrdiff_t>(result.column.size());
    for (int k = child_start_[c]; k < child_start_[c + 1]; ++k) {
      const auto node = static_cast<std::size_t>(child_node(k));
      for (std::size_t j = graph_->row_start[node]; j < graph_->row_start[node + 1]; ++j)
        for (const int other : corner_of_[static_cast<std::size_t>(graph_->column[j])])
          if (std::exchange(last_seen[static_cast<std::size_t>(other)], corner) != corner)
            result.column.push_back(other);
    }
    std::sort(result.column.begin() + begin, result.column.end());
    result.row_start.push_back(result.column.size());
  }
  return result;
}

/// Corners that an edge of a tetrahedron joins.
std::vector<std::array<int, 2>> CoarseLevel::edges() const {
  std::vector<std::array<int, 2>> result;
  std::copy_if(corner_of_.begin(), corner_of_.end(), std::back_inserter(result),
               [](const std::array<int, 2>& ends) { return ends[0] != ends[1]; });
  return result;
}

BlockPattern CoarseLevel::pattern() const {
  return {corners(), corner_graph_->row_start, corner_graph_->column};
}

bool CoarseLevel::fits(const BlockMatrix& matrix) const {
  return coupled_ == coupled_unknowns(matrix);
}

/// One row of P' A P. `position` is scratch: by coarse number, where its block of this row is.
void CoarseLevel::accumulate_row(const BlockMatrix& matrix, int corner, std::vector<int>& position) {
  const auto row = static_cast<std::size_t>(corner);
  std::vector<Block>& values = matrix_->values;
  for (std::size_t k = corner_graph_->row_start[row]; k < corner_graph_->row_start[row + 1]; ++k) {
    position[static_cast<std::size_t>(corner_graph_->column[k])] = static_cast<int>(k);
    values[k].setZero();
  }
  for (int c = child_start_[row]; c < child_start_[row + 1]; ++c) {
    const auto node = static_cast<std::size_t>(child_node(c));
    const double row_weight = corner_of_[node][0] == corner_of_[node][1] ? 1 : 0.5;
    for (std::size_t k = graph_->row_start[node]; k < graph_->row_start[node + 1]; ++k) {
      const auto other = static_cast<std::size_t>(graph_->column[k]);
      Block block = 0.5 * row_weight * matrix.values[k];
      for (int i = 0; i < 3; ++i) {
        if (!coupled_[3 * node + static_cast<std::size_t>(i)]) block.row(i).setZero();
        if (!coupled_[3 * other + static_cast<std::size_t>(i)]) block.col(i).setZero();
      }
      for (const int parent : corner_of_[other])
        values[static_cast<std::size_t>(position[static_cast<std::size_t>(parent)])] += block;
    }
  }
}

void CoarseLevel::renew(const BlockMatrix& matrix) {
  coupled_ = coupled_unknowns(matrix);
  free_.setZero(stride * order_->nodes());
  order_->for_nodes([&](int place, int node) {
    for (int i = 0; i < 3; ++i)
      free_(stride * place + i) = coupled_[3 * static_cast<std::size_t>(node) + static_cast<std::size_t>(i)];
  });
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
  try {
    if (factor_)
      factor_->factorise(matrix_->values);
    else
      cycle_->renew(*matrix_, corner_coupled_);
  } catch (const NotPositiveDefinite& found) {
    throw NotPositiveDefinite(node_of_[static_cast<std::size_t>(found.node)], found.component);
  }
}

void CoarseLevel::solve_exactly() {
  factor_ = std::make_unique<CoarseFactor>(pattern());
  cycle_.reset();
  coupled_.clear();
}

double CoarseLevel::renewal_operations() const {
  return factor_ ? factor_->operations() : cycle_->renewal_operations();
}

/// A corner without couplings stays at zero: identity row, so that its edge nodes see a held parent.
void CoarseLevel::decouple_corners() {
  for (int corner = 0; corner < corners(); ++corner)
    for (std::size_t k = corner_graph_->row_start[static_cast<std::size_t>(corner)];
         k < corner_graph_->row_start[static_cast<std::size_t>(corner) + 1]; ++k) {
      const int other = corner_graph_->column[k];
      Block& block = matrix_->values[k];
      for (int i = 0; i < 3; ++i) {
        const bool row_free = corner_coupled_[static_cast<std::size_t>(3 * corner + i)];
        if (!row_free) block.row(i).setZero();
        if (!corner_coupled_[static_cast<std::size_t>(3 * other + i)]) block.col(i).setZero();
        if (!row_free && other == corner) block(i, i) = 1;
      }
    }
}

void CoarseLevel::correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z) {
  const auto at = [](int place, const Eigen::VectorXf& values) {
    return load(values.data() + static_cast<std::ptrdiff_t>(stride) * place);
  };
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int corner = 0; corner < corners(); ++corner) {
    const auto c = static_cast<std::size_t>(corner);
    const int* const child = child_.data() + child_start_[c];
    const int children = child_start_[c + 1] - child_start_[c];
    ShortVector halves{};
    for (int k = 1; k < children; ++k) halves += at(child[k], free_) * at(child[k], residual);
    const ShortVector sum = at(child[0], free_) * (at(child[0], residual) + 0.5f * halves);
    for (int i = 0; i < 3; ++i) right_hand_side_(3 * corner + i) = sum[i];
  }
  if (factor_)
    factor_->solve(right_hand_side_, solution_);
  else
    cycle_->solve(right_hand_side_, solution_);
  const auto solved = [&](int corner) {
    const float* const entry = solution_.data() + std::ptrdiff_t{3} * corner;
    return ShortVector{entry[0], entry[1], entry[2], 0};
  };
  order_->for_nodes([&](int place, int node) {
    const auto [a, b] = corner_of_[static_cast<std::size_t>(node)];
    float* const z_node = z.data() + static_cast<std::ptrdiff_t>(stride) * place;
    const ShortVector mean = 0.5f * (solved(a) + solved(b));
    store(load(z_node) + at(place, free_) * mean, z_node);
  });
}

std::size_t CoarseLevel::bytes() const {
  return (factor_ ? factor_->bytes() : cycle_->bytes()) +
         matrix_->values.size() * (sizeof(Block) + sizeof(int)) +
         (corner_of_.size() + child_.size()) * 2 * sizeof(int) + coupled_.size() +
         static_cast<std::size_t>(free_.size()) * sizeof(float);
}

}  // namespace setstress
