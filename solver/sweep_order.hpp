#pragma once
// The order in which the two-level solver visits nodes: compact parts of the mesh, coloured.

#include <Eigen/Core>
#include <array>
#include <numeric>
#include <vector>

#include "solver/block_matrix.hpp"

namespace setstress {

/// Vectors by places have 4 entries a node, the last one zero, so that a node is one short vector.
constexpr int stride = 4;

/// A renumbering of the nodes: "place" is the new number. Parts are runs of places that hold neighbouring
/// nodes; parts of one colour do not couple with each other, so threads may sweep them at the same time and
/// get what one thread gets that goes from part to part. Parts depend on the mesh alone, never on the number
/// of threads.
struct SweepOrder {
  std::vector<int> node_at;       ///< by place
  std::vector<int> place_of;      ///< by node
  std::vector<int> part_start;    ///< parts + 1 entries: first place
  std::vector<int> colour_start;  ///< colours + 1 entries: first part

  [[nodiscard]] int parts() const { return static_cast<int>(part_start.size()) - 1; }
  [[nodiscard]] int colours() const { return static_cast<int>(colour_start.size()) - 1; }
  /// First place of a part and of the next.
  [[nodiscard]] std::array<int, 2> part(int p) const {
    return {part_start[static_cast<std::size_t>(p)], part_start[static_cast<std::size_t>(p) + 1]};
  }
  /// First part of a colour and of the next.
  [[nodiscard]] std::array<int, 2> colour(int c) const {
    return {colour_start[static_cast<std::size_t>(c)], colour_start[static_cast<std::size_t>(c) + 1]};
  }
  /// Calls work(place, node) for every node, in parallel.
  template <typename Work>
  void for_nodes(const Work& work) const {
#pragma omp parallel for schedule(static) if (worth_threads())
    for (int place = 0; place < nodes(); ++place) work(place, node_at[static_cast<std::size_t>(place)]);
  }
  /// Calls work(first place, places) for every part, in parallel.
  template <typename Work>
  void for_parts(const Work& work) const {
#pragma omp parallel for schedule(static) if (worth_threads())
    for (int p = 0; p < parts(); ++p) work(part(p)[0], part(p)[1] - part(p)[0]);
  }
  /// Adds up term(first place, places) over the parts, in their order whatever the number of threads.
  template <typename Term>
  [[nodiscard]] double sum_over_parts(const Term& term) const {
    std::vector<double> partial(static_cast<std::size_t>(parts()));
#pragma omp parallel for schedule(static) if (worth_threads())
    for (int p = 0; p < parts(); ++p)
      partial[static_cast<std::size_t>(p)] = term(part(p)[0], part(p)[1] - part(p)[0]);
    return std::accumulate(partial.begin(), partial.end(), 0.0);
  }
  /// Renumbers a vector: 3 entries a node by node, `stride` entries a node by place.
  [[nodiscard]] Eigen::VectorXd by_place(const Eigen::VectorXd& by_node) const;
  [[nodiscard]] Eigen::VectorXd by_node(const Eigen::VectorXd& by_place) const;
  /// Small systems are solved faster on one thread than threads can meet.
  [[nodiscard]] bool worth_threads() const {
    return parts() >= 8;
  }
  [[nodiscard]] int nodes() const {
    return static_cast<int>(node_at.size());
  }
};

/// METIS cuts the graph into parts of about `nodes_per_part`; within a part nodes go breadth first, so that
/// what a row reads is still in cache. Throws std::runtime_error if METIS fails.
SweepOrder make_sweep_order(const NodeGraph& graph, int nodes_per_part = 1024);

}  // namespace setstress
