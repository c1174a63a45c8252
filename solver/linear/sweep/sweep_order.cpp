#include "solver/linear/sweep/sweep_order.hpp"

#include <algorithm>
#include <numeric>
#include <stdexcept>
#include <utility>

#include "solver/linear/sweep/graph_parts.hpp"

namespace setstress {

namespace {

/// By node. METIS sees corner nodes and their couplings, each weighted by the nodes that go with it: itself
/// and the edge nodes whose first parent it is. A seventh of the mesh, so it is done in a seventh of the
/// time, and cuts as well.
std::vector<int> part_of_nodes(const NodeGraph& graph, int parts) {
  const auto is_corner = [&](int node) { return graph.parents[static_cast<std::size_t>(node)][0] == node; };
  PartGraph corners;
  std::vector<idx_t> number(static_cast<std::size_t>(graph.nodes), -1);  // of the corner it goes with
  for (int node = 0; node < graph.nodes; ++node)
    if (is_corner(node)) {
      number[static_cast<std::size_t>(node)] = static_cast<idx_t>(corners.weight.size());
      corners.weight.push_back(0);
    }
  for (std::size_t node = 0; node < number.size(); ++node) {
    number[node] = number[static_cast<std::size_t>(graph.parents[node][0])];
    if (number[node] < 0)
      throw std::invalid_argument("node graph: the parent of an edge node is not a corner node");
    ++corners.weight[static_cast<std::size_t>(number[node])];
  }
  for (int node = 0; node < graph.nodes; ++node) {
    if (!is_corner(node)) continue;
    for (std::size_t k = graph.row_start[static_cast<std::size_t>(node)];
         k < graph.row_start[static_cast<std::size_t>(node) + 1]; ++k)
      if (graph.column[k] != node && is_corner(graph.column[k]))
        corners.neighbour.push_back(number[static_cast<std::size_t>(graph.column[k])]);
    corners.start.push_back(static_cast<idx_t>(corners.neighbour.size()));
  }
  const std::vector<int> part_of_corner = cut_into_parts(std::move(corners), parts);
  std::vector<int> part(number.size());
  for (std::size_t node = 0; node < part.size(); ++node)
    part[node] = part_of_corner[static_cast<std::size_t>(number[node])];
  return part;
}

/// By part, ascending: the parts that couple with it.
std::vector<std::vector<int>> find_neighbours(const NodeGraph& graph, const std::vector<int>& part,
                                              int parts) {
  std::vector<std::vector<int>> neighbours(static_cast<std::size_t>(parts));
  for (int row = 0; row < graph.nodes; ++row)
    for (std::size_t k = graph.row_start[static_cast<std::size_t>(row)];
         k < graph.row_start[static_cast<std::size_t>(row) + 1]; ++k) {
      const int mine = part[static_cast<std::size_t>(row)],
                other = part[static_cast<std::size_t>(graph.column[k])];
      auto& list = neighbours[static_cast<std::size_t>(mine)];
      if (mine != other && std::find(list.begin(), list.end(), other) == list.end()) list.push_back(other);
    }
  return neighbours;
}

/// Smallest colour that no neighbouring part has, part by part.
std::vector<int> colour_parts(const std::vector<std::vector<int>>& neighbours) {
  std::vector<int> colour(neighbours.size(), -1);
  for (std::size_t p = 0; p < colour.size(); ++p) {
    std::vector<char> taken(neighbours[p].size() + 1, 0);
    for (const int q : neighbours[p])
      if (const int c = colour[static_cast<std::size_t>(q)]; c >= 0 && c < static_cast<int>(taken.size()))
        taken[static_cast<std::size_t>(c)] = 1;
    colour[p] = static_cast<int>(std::find(taken.begin(), taken.end(), 0) - taken.begin());
  }
  return colour;
}

/// Nodes of `part` breadth first from its first node; pieces that do not hang together follow one another.
void append_breadth_first(const NodeGraph& graph, const std::vector<int>& part,
                          const std::vector<int>& members, std::vector<char>& visited,
                          std::vector<int>& out) {
  for (const int seed : members) {
    if (visited[static_cast<std::size_t>(seed)]) continue;
    visited[static_cast<std::size_t>(seed)] = 1;
    out.push_back(seed);
    for (std::size_t head = out.size() - 1; head < out.size(); ++head) {
      const auto row = static_cast<std::size_t>(out[head]);
      for (std::size_t k = graph.row_start[row]; k < graph.row_start[row + 1]; ++k) {
        const auto next = static_cast<std::size_t>(graph.column[k]);
        if (visited[next] || part[next] != part[row]) continue;
        visited[next] = 1;
        out.push_back(graph.column[k]);
      }
    }
  }
}

}  // namespace

SweepOrder make_sweep_order(const NodeGraph& graph, int nodes_per_part) {
  const int parts = std::max(1, graph.nodes / nodes_per_part);
  const std::vector<int> part = part_of_nodes(graph, parts);
  const std::vector<std::vector<int>> neighbours = find_neighbours(graph, part, parts);
  const std::vector<int> colour = colour_parts(neighbours);
  std::vector<std::vector<int>> members(static_cast<std::size_t>(parts));
  for (int node = 0; node < graph.nodes; ++node)
    members[static_cast<std::size_t>(part[static_cast<std::size_t>(node)])].push_back(node);
  std::vector<std::size_t> sequence(static_cast<std::size_t>(parts));
  std::iota(sequence.begin(), sequence.end(), std::size_t{0});
  std::stable_sort(sequence.begin(), sequence.end(),
                   [&](std::size_t a, std::size_t b) { return colour[a] < colour[b]; });
  std::vector<int> turn(static_cast<std::size_t>(parts));
  for (std::size_t k = 0; k < sequence.size(); ++k) turn[sequence[k]] = static_cast<int>(k);

  SweepOrder order;
  std::vector<char> visited(static_cast<std::size_t>(graph.nodes), 0);
  for (const std::size_t p : sequence) {
    order.part_start.push_back(order.nodes());
    append_breadth_first(graph, part, members[p], visited, order.node_at);
    auto& list = order.neighbours.emplace_back();
    for (const int other : neighbours[p]) list.push_back(turn[static_cast<std::size_t>(other)]);
  }
  order.part_start.push_back(order.nodes());
  order.place_of.resize(order.node_at.size());
  for (std::size_t place = 0; place < order.node_at.size(); ++place)
    order.place_of[static_cast<std::size_t>(order.node_at[place])] = static_cast<int>(place);
  return order;
}

Eigen::VectorXd SweepOrder::by_place(const Eigen::VectorXd& values) const {
  Eigen::VectorXd result(stride * nodes());
  for_nodes([&](int place, int node) {
    result.segment<stride>(stride * place) << values.segment<3>(3 * node), 0.0;
  });
  return result;
}

Eigen::VectorXd SweepOrder::by_node(const Eigen::VectorXd& values) const {
  Eigen::VectorXd result(3 * nodes());
  for_nodes([&](int place, int node) { result.segment<3>(3 * node) = values.segment<3>(stride * place); });
  return result;
}

}  // namespace setstress
