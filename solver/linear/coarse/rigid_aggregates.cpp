#include "solver/linear/coarse/rigid_aggregates.hpp"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <utility>

#include "solver/linear/matrix/not_positive_definite.hpp"
#include "solver/linear/sweep/graph_parts.hpp"

namespace setstress {

namespace {

constexpr int nodes_per_aggregate = 20;
// Of the largest: modes that an aggregate's free nodes tell apart no better than this are one and the same.
constexpr double indistinct = 1e-6;

using Six = Eigen::Matrix<double, 6, 6>;

/// Pieces that edges hold together, of parts that edges need not hold together. By node.
std::vector<int> pieces_of(const PartGraph& graph, const std::vector<int>& part, int& pieces) {
  std::vector<int> piece(part.size(), -1), stack;
  pieces = 0;
  for (std::size_t seed = 0; seed < part.size(); ++seed) {
    if (piece[seed] >= 0) continue;
    piece[seed] = pieces;
    stack.assign(1, static_cast<int>(seed));
    while (!stack.empty()) {
      const auto node = static_cast<std::size_t>(stack.back());
      stack.pop_back();
      for (idx_t k = graph.start[node]; k < graph.start[node + 1]; ++k) {
        const auto other = static_cast<std::size_t>(graph.neighbour[static_cast<std::size_t>(k)]);
        if (piece[other] >= 0 || part[other] != part[node]) continue;
        piece[other] = pieces;
        stack.push_back(static_cast<int>(other));
      }
    }
    ++pieces;
  }
  return piece;
}

PartGraph graph_of(int nodes, std::span<const std::array<int, 2>> edges) {
  PartGraph graph;
  graph.weight.assign(static_cast<std::size_t>(nodes), 1);
  graph.start.assign(graph.weight.size() + 1, 0);
  for (const auto& [a, b] : edges)
    for (const int end : {a, b}) ++graph.start[static_cast<std::size_t>(end) + 1];
  for (std::size_t i = 1; i < graph.start.size(); ++i) graph.start[i] += graph.start[i - 1];
  graph.neighbour.resize(2 * edges.size());
  std::vector<idx_t> next(graph.start.begin(), graph.start.end() - 1);
  for (const auto& [a, b] : edges) {
    graph.neighbour[static_cast<std::size_t>(next[static_cast<std::size_t>(a)]++)] = b;
    graph.neighbour[static_cast<std::size_t>(next[static_cast<std::size_t>(b)]++)] = a;
  }
  return graph;
}

}  // namespace

RigidAggregates::RigidAggregates(const NodeGraph& graph, const SweepOrder& order,
                                 std::span<const std::array<int, 2>> edges)
    : graph_(&graph), order_(&order), modes_(static_cast<std::size_t>(graph.nodes)) {
  find_members(edges);
  couple();
  values_.resize(column_.size());
  factor_.emplace(BlockPattern{2 * size(), row_start_, column_});
  right_hand_side_.resize(6 * size());
}

void RigidAggregates::find_members(std::span<const std::array<int, 2>> edges) {
  const PartGraph joined = graph_of(graph_->nodes, edges);
  int count = 0;
  aggregate_of_ = pieces_of(joined, cut_into_parts(joined, graph_->nodes / nodes_per_aggregate), count);
  member_start_.assign(static_cast<std::size_t>(count) + 1, 0);
  for (const int aggregate : aggregate_of_) ++member_start_[static_cast<std::size_t>(aggregate) + 1];
  for (std::size_t a = 1; a < member_start_.size(); ++a) member_start_[a] += member_start_[a - 1];
  member_.resize(aggregate_of_.size());
  std::vector<int> next(member_start_.begin(), member_start_.end() - 1);
  for (const int node : order_->node_at)
    member_[static_cast<std::size_t>(
        next[static_cast<std::size_t>(aggregate_of_[static_cast<std::size_t>(node)])]++)] = node;
}

std::span<const int> RigidAggregates::members(int aggregate) const {
  const auto a = static_cast<std::size_t>(aggregate);
  return std::span<const int>(member_).subspan(
      static_cast<std::size_t>(member_start_[a]),
      static_cast<std::size_t>(member_start_[a + 1] - member_start_[a]));
}

/// Aggregates couple if any of their nodes do.
void RigidAggregates::couple() {
  std::vector<int> last_seen(static_cast<std::size_t>(size()), -1), row;
  for (int aggregate = 0; aggregate < size(); ++aggregate) {
    row.clear();
    for (const int node : members(aggregate))
      for (std::size_t k = graph_->row_start[static_cast<std::size_t>(node)];
           k < graph_->row_start[static_cast<std::size_t>(node) + 1]; ++k) {
        const int other = aggregate_of_[static_cast<std::size_t>(graph_->column[k])];
        if (std::exchange(last_seen[static_cast<std::size_t>(other)], aggregate) != aggregate)
          row.push_back(other);
      }
    std::sort(row.begin(), row.end());
    for (int half = 0; half < 2; ++half) {
      for (const int other : row)
        for (int other_half = 0; other_half < 2; ++other_half) column_.push_back(2 * other + other_half);
      row_start_.push_back(column_.size());
    }
  }
}

/// Calls work(aggregate) for every aggregate, in parallel.
template <typename Work>
void RigidAggregates::for_each(const Work& work) const {
#pragma omp parallel for schedule(static) if (order_->worth_threads())
  for (int aggregate = 0; aggregate < size(); ++aggregate) work(aggregate);
}

/// Translations and rotations about the centre, made orthonormal over the free degrees of freedom. Those that
/// these cannot tell apart (of a single node, or of nodes in a line, or of held ones) are left out: zero.
void RigidAggregates::set_modes(int aggregate, const std::vector<char>& coupled) {
  const std::span<const int> nodes = members(aggregate);
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  for (const int node : nodes) centre += graph_->coordinates[static_cast<std::size_t>(node)];
  centre /= static_cast<double>(nodes.size());
  double radius = 0;
  for (const int node : nodes)
    radius = std::max(radius, (graph_->coordinates[static_cast<std::size_t>(node)] - centre).norm());
  const auto motion = [&](int node) {
    Eigen::Matrix<double, 3, 6> modes;
    const Eigen::Vector3d arm =
        (graph_->coordinates[static_cast<std::size_t>(node)] - centre) / (radius > 0 ? radius : 1);
    modes.leftCols<3>().setIdentity();
    for (int axis = 0; axis < 3; ++axis) modes.col(3 + axis) = Eigen::Vector3d::Unit(axis).cross(arm);
    for (int i = 0; i < 3; ++i)
      if (!coupled[static_cast<std::size_t>(3 * node + i)]) modes.row(i).setZero();
    return modes;
  };
  Six gram = Six::Zero();
  for (const int node : nodes) gram += motion(node).transpose() * motion(node);
  const Eigen::SelfAdjointEigenSolver<Six> eigen(gram);
  Six combination = Six::Zero();
  for (int i = 0; i < 6; ++i)
    if (eigen.eigenvalues()(i) > indistinct * eigen.eigenvalues()(5))
      combination.col(i) = eigen.eigenvectors().col(i) / std::sqrt(eigen.eigenvalues()(i));
  for (const int node : nodes)
    modes_[static_cast<std::size_t>(node)] = (motion(node) * combination).cast<float>();
}

/// The rows of one aggregate in M' A M. `position` is scratch: by aggregate, how many come before it in them.
void RigidAggregates::accumulate(const BlockMatrix& matrix, int aggregate, std::vector<int>& position) {
  const std::array<std::size_t, 2> first{row_start_[2 * static_cast<std::size_t>(aggregate)],
                                         row_start_[2 * static_cast<std::size_t>(aggregate) + 1]};
  for (std::size_t k = first[0]; k < first[1]; k += 2)
    position[static_cast<std::size_t>(column_[k] / 2)] = static_cast<int>((k - first[0]) / 2);
  std::vector<Six> row((first[1] - first[0]) / 2, Six::Zero());
  for (const int node : members(aggregate)) {
    const auto r = static_cast<std::size_t>(node);
    const Eigen::Matrix<double, 3, 6> mine = modes_[r].cast<double>();
    for (std::size_t k = graph_->row_start[r]; k < graph_->row_start[r + 1]; ++k) {
      const auto other = static_cast<std::size_t>(graph_->column[k]);
      const Eigen::Matrix<double, 3, 6> image = matrix.values[k] * modes_[other].cast<double>();
      row[static_cast<std::size_t>(position[static_cast<std::size_t>(aggregate_of_[other])])].noalias() +=
          mine.transpose() * image;
    }
  }
  Six& diagonal = row[static_cast<std::size_t>(position[static_cast<std::size_t>(aggregate)])];
  for (int i = 0; i < 6; ++i)
    if (diagonal(i, i) == 0) diagonal(i, i) = 1;  // left out: stays at zero
  for (std::size_t k = 0; k < row.size(); ++k)
    for (std::size_t half = 0; half < 2; ++half)
      for (std::size_t other_half = 0; other_half < 2; ++other_half)
        values_[first[half] + 2 * k + other_half] =
            row[k].block<3, 3>(static_cast<int>(3 * half), static_cast<int>(3 * other_half));
}

void RigidAggregates::renew(const BlockMatrix& matrix, const std::vector<char>& coupled) {
  for_each([&](int aggregate) { set_modes(aggregate, coupled); });
#pragma omp parallel if (order_->worth_threads())
  {
    std::vector<int> position(static_cast<std::size_t>(size()), -1);
#pragma omp for schedule(static)
    for (int aggregate = 0; aggregate < size(); ++aggregate) accumulate(matrix, aggregate, position);
  }
  try {
    factor_->factorise(values_);
  } catch (const NotPositiveDefinite& found) {
    throw NotPositiveDefinite(members(found.node / 2).front(), 0);
  }
}

void RigidAggregates::correct(const Eigen::VectorXf& residual, Eigen::VectorXf& z) {
  for_each([&](int aggregate) {
    Eigen::Matrix<float, 6, 1> sum = Eigen::Matrix<float, 6, 1>::Zero();
    for (const int node : members(aggregate))
      sum += modes_[static_cast<std::size_t>(node)].transpose() *
             residual.segment<3>(stride * order_->place_of[static_cast<std::size_t>(node)]);
    right_hand_side_.segment<6>(6 * aggregate) = sum;
  });
  factor_->solve(right_hand_side_, solution_);
  for_each([&](int aggregate) {
    const Eigen::Matrix<float, 6, 1> amount = solution_.segment<6>(6 * aggregate);
    for (const int node : members(aggregate))
      z.segment<3>(stride * order_->place_of[static_cast<std::size_t>(node)]) +=
          modes_[static_cast<std::size_t>(node)] * amount;
  });
}

std::size_t RigidAggregates::bytes() const {
  return modes_.size() * (sizeof(Modes) + 3 * sizeof(int)) + values_.size() * (sizeof(Block) + sizeof(int)) +
         factor_->bytes();
}

}  // namespace setstress
