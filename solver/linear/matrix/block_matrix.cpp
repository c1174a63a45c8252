#include "solver/linear/matrix/block_matrix.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <stdexcept>

namespace setstress {

namespace {

/// The groups that each node belongs to, as (list, group) pairs.
struct Membership {
  std::vector<std::size_t> start;
  std::vector<std::array<int, 2>> group;
};

void require_in_range(int nodes, const NodeGroups& groups) {
  for (const int node : groups.node)
    if (node < 0 || node >= nodes)
      throw std::invalid_argument(
          fmt::format("node graph: node number {} in a group; must be in 0..{}", node, nodes - 1));
}

Membership membership(int nodes, std::span<const NodeGroups> lists) {
  Membership result;
  result.start.assign(static_cast<std::size_t>(nodes) + 1, 0);
  for (const NodeGroups& groups : lists)
    for (const int node : groups.node) ++result.start[static_cast<std::size_t>(node) + 1];
  for (std::size_t i = 1; i < result.start.size(); ++i) result.start[i] += result.start[i - 1];
  result.group.resize(result.start.back());
  std::vector<std::size_t> next(result.start.begin(), result.start.end() - 1);
  for (std::size_t list = 0; list < lists.size(); ++list)
    for (int g = 0; g < lists[list].size(); ++g)
      for (const int node : lists[list][g])
        result.group[next[static_cast<std::size_t>(node)]++] = {static_cast<int>(list), g};
  return result;
}

/// Neighbours of one node, itself included, ascending. `last_seen` is scratch: by node, the last row it was
/// put in.
void collect_row(int row, std::span<const NodeGroups> lists, const Membership& member,
                 std::vector<int>& last_seen, std::vector<int>& out) {
  const auto r = static_cast<std::size_t>(row);
  const auto begin = out.size();
  last_seen[r] = row;
  out.push_back(row);
  for (std::size_t k = member.start[r]; k < member.start[r + 1]; ++k)
    for (const int node : lists[static_cast<std::size_t>(member.group[k][0])][member.group[k][1]])
      if (last_seen[static_cast<std::size_t>(node)] != row) {
        last_seen[static_cast<std::size_t>(node)] = row;
        out.push_back(node);
      }
  std::sort(out.begin() + static_cast<std::ptrdiff_t>(begin), out.end());
}

constexpr int rows_per_chunk = 4096;
constexpr int few_rows = 1000;  // done before threads have met

}  // namespace

std::size_t NodeGraph::position(int row, int col) const {
  const auto r = static_cast<std::size_t>(row);
  if (row < 0 || row >= nodes) throw std::out_of_range(fmt::format("node graph: no row {}", row));
  const auto first = column.begin() + static_cast<std::ptrdiff_t>(row_start[r]);
  const auto last = column.begin() + static_cast<std::ptrdiff_t>(row_start[r + 1]);
  const auto found = std::lower_bound(first, last, col);
  if (found == last || *found != col)
    throw std::out_of_range(fmt::format("node graph: nodes {} and {} do not couple", row, col));
  return static_cast<std::size_t>(found - column.begin());
}

NodeGraph make_node_graph(std::vector<Eigen::Vector3d> coordinates, std::span<const NodeGroups> groups,
                          std::vector<std::array<int, 2>> parents) {
  const auto nodes = static_cast<int>(coordinates.size());
  for (const NodeGroups& list : groups) require_in_range(nodes, list);
  if (parents.size() != static_cast<std::size_t>(nodes))
    throw std::invalid_argument(
        fmt::format("node graph: parents of {} nodes given, must be {}", parents.size(), nodes));
  const Membership member = membership(nodes, groups);
  const int chunks = (nodes + rows_per_chunk - 1) / rows_per_chunk;
  std::vector<std::vector<int>> columns(static_cast<std::size_t>(chunks));
  NodeGraph graph{.nodes = nodes,
                  .coordinates = std::move(coordinates),
                  .parents = std::move(parents),
                  .row_start = {},
                  .column = {}};
  graph.row_start.assign(static_cast<std::size_t>(nodes) + 1, 0);
#pragma omp parallel if (chunks > 1)
  {
    std::vector<int> last_seen(static_cast<std::size_t>(nodes), -1);
#pragma omp for schedule(dynamic, 1)
    for (int chunk = 0; chunk < chunks; ++chunk) {
      std::vector<int>& out = columns[static_cast<std::size_t>(chunk)];
      for (int row = chunk * rows_per_chunk; row < std::min(nodes, (chunk + 1) * rows_per_chunk); ++row) {
        const std::size_t before = out.size();
        collect_row(row, groups, member, last_seen, out);
        graph.row_start[static_cast<std::size_t>(row) + 1] = out.size() - before;
      }
    }
  }
  for (std::size_t i = 1; i < graph.row_start.size(); ++i) graph.row_start[i] += graph.row_start[i - 1];
  graph.column.reserve(graph.row_start.back());
  for (const std::vector<int>& out : columns) graph.column.insert(graph.column.end(), out.begin(), out.end());
  return graph;
}

std::vector<int> nodes_in(std::span<const NodeGroups> groups) {
  std::vector<int> nodes;
  for (const NodeGroups& list : groups) nodes.insert(nodes.end(), list.node.begin(), list.node.end());
  std::sort(nodes.begin(), nodes.end());
  nodes.erase(std::unique(nodes.begin(), nodes.end()), nodes.end());
  return nodes;
}

void copy_rows(const BlockMatrix& from, std::span<const int> nodes, BlockMatrix& to) {
  if (from.graph != to.graph) throw std::invalid_argument("copy rows: the matrices have different graphs");
  const NodeGraph& graph = *from.graph;
#pragma omp parallel for schedule(static) if (nodes.size() > few_rows)
  for (const int node : nodes) {
    const auto first = static_cast<std::ptrdiff_t>(graph.row_start[static_cast<std::size_t>(node)]),
               last = static_cast<std::ptrdiff_t>(graph.row_start[static_cast<std::size_t>(node) + 1]);
    std::copy(from.values.begin() + first, from.values.begin() + last, to.values.begin() + first);
  }
}

namespace {

/// Row `node` of A times x.
Eigen::Vector3d row_product(const BlockMatrix& matrix, int node, const Eigen::VectorXd& x) {
  // Columns of a block as short vectors of 4: the first two with what follows them, the third with what goes
  // before.
  using Four = Eigen::Array4d;
  const NodeGraph& graph = *matrix.graph;
  Four first = Four::Zero(), second = Four::Zero(), third = Four::Zero();
  for (std::size_t k = graph.row_start[static_cast<std::size_t>(node)];
       k < graph.row_start[static_cast<std::size_t>(node) + 1]; ++k) {
    const double* entries = matrix.values[k].data();
    const double* x_column = x.data() + 3 * static_cast<std::ptrdiff_t>(graph.column[k]);
    first += x_column[0] * Eigen::Map<const Four>(entries);
    second += x_column[1] * Eigen::Map<const Four>(entries + 3);
    third += x_column[2] * Eigen::Map<const Four>(entries + 5);
  }
  return first.head<3>() + second.head<3>() + third.tail<3>();
}

void decouple_row(BlockMatrix& matrix, int node, const std::vector<char>& held, double diagonal) {
  const NodeGraph& graph = *matrix.graph;
  const char* row_held = held.data() + 3 * static_cast<std::ptrdiff_t>(node);
  for (std::size_t k = graph.row_start[static_cast<std::size_t>(node)];
       k < graph.row_start[static_cast<std::size_t>(node) + 1]; ++k) {
    const char* column_held = held.data() + 3 * static_cast<std::ptrdiff_t>(graph.column[k]);
    for (int i = 0; i < 3; ++i) {
      if (row_held[i]) matrix.values[k].row(i).setZero();
      if (column_held[i]) matrix.values[k].col(i).setZero();
      if (row_held[i] && graph.column[k] == node) matrix.values[k](i, i) = diagonal;
    }
  }
}

void require_flags(const NodeGraph& graph, const std::vector<char>& held) {
  if (held.size() != 3 * static_cast<std::size_t>(graph.nodes))
    throw std::invalid_argument(
        fmt::format("decouple: {} flags given, must be 3 for each of {} nodes", held.size(), graph.nodes));
}

}  // namespace

void multiply(const BlockMatrix& matrix, const Eigen::VectorXd& x, Eigen::VectorXd& y) {
  const int nodes = matrix.graph->nodes;
  y.resize(3 * nodes);
#pragma omp parallel for schedule(static) if (nodes > few_rows)
  for (int node = 0; node < nodes; ++node) y.segment<3>(3 * node) = row_product(matrix, node, x);
}

void multiply(const BlockMatrix& matrix, std::span<const int> nodes, const Eigen::VectorXd& x,
              Eigen::VectorXd& y) {
  y.setZero(3 * matrix.graph->nodes);
#pragma omp parallel for schedule(static) if (nodes.size() > few_rows)
  for (const int node : nodes) y.segment<3>(3 * node) = row_product(matrix, node, x);
}

void multiply(const BlockMatrix& matrix, std::span<const int> nodes, std::span<const Eigen::VectorXd> x,
              std::span<Eigen::VectorXd* const> y) {
  constexpr std::size_t in_cache = 64;  // rows
  for (Eigen::VectorXd* const product : y) product->setZero(3 * matrix.graph->nodes);
  for (std::size_t first = 0; first < nodes.size(); first += in_cache)
    for (std::size_t i = 0; i < x.size(); ++i)
      for (const int node : nodes.subspan(first, std::min(in_cache, nodes.size() - first)))
        y[i]->segment<3>(3 * node) = row_product(matrix, node, x[i]);
}

void decouple(BlockMatrix& matrix, const std::vector<char>& held, double diagonal) {
  require_flags(*matrix.graph, held);
  const int nodes = matrix.graph->nodes;
#pragma omp parallel for schedule(static) if (nodes > few_rows)
  for (int node = 0; node < nodes; ++node) decouple_row(matrix, node, held, diagonal);
}

void decouple(BlockMatrix& matrix, std::span<const int> nodes, const std::vector<char>& held,
              double diagonal) {
  require_flags(*matrix.graph, held);
#pragma omp parallel for schedule(static) if (nodes.size() > few_rows)
  for (const int node : nodes) decouple_row(matrix, node, held, diagonal);
}

double round_off(const BlockMatrix& matrix, const Eigen::VectorXd& x) {
  BlockMatrix magnitude(*matrix.graph);
  for (std::size_t k = 0; k < matrix.values.size(); ++k) magnitude.values[k] = matrix.values[k].cwiseAbs();
  Eigen::VectorXd product;
  multiply(magnitude, x.cwiseAbs(), product);
  return 4 * std::numeric_limits<double>::epsilon() * product.norm();
}

}  // namespace setstress
