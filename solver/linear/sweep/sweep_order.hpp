#pragma once
// The order in which the two-level solver visits nodes: compact parts of the mesh, in turn.

#include <omp.h>

#include <Eigen/Core>
#include <array>
#include <atomic>
#include <numeric>
#include <thread>
#include <vector>

#include "solver/linear/matrix/block_matrix.hpp"

namespace setstress {

/// Vectors by places have 4 entries a node, the last one zero, so that a node is one short vector.
constexpr int stride = 4;

/// A renumbering of the nodes: "place" is the new number. Parts are runs of places that hold neighbouring
/// nodes. They depend on the mesh alone, never on the number of threads.
struct SweepOrder {
  std::vector<int> node_at;                  ///< by place
  std::vector<int> place_of;                 ///< by node
  std::vector<int> part_start;               ///< parts + 1 entries: first place
  std::vector<std::vector<int>> neighbours;  ///< by part: the parts that it couples with

  [[nodiscard]] int parts() const { return static_cast<int>(part_start.size()) - 1; }
  /// First place of a part and of the next.
  [[nodiscard]] std::array<int, 2> part(int p) const {
    return {part_start[static_cast<std::size_t>(p)], part_start[static_cast<std::size_t>(p) + 1]};
  }
  /// Calls work(part, next) for every part, in parallel, but never before it is done with the neighbours that
  /// come earlier: so work may read and change what it shares with neighbours and gets what going from part
  /// to part gives. `next` is a guess at what the thread will be given next, to fetch ahead; at the end,
  /// `part`.
  template <typename Work>
  void in_turn(bool reverse, const Work& work) const;
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

template <typename Work>
void SweepOrder::in_turn(bool reverse, const Work& work) const {
  std::vector<std::atomic<bool>> done(static_cast<std::size_t>(parts()));
  std::atomic<int> next = 0;
#pragma omp parallel if (worth_threads())
  // A thread waits only for parts that others have taken before, so one of them always goes on.
  for (int turn = next++; turn < parts(); turn = next++) {
    const int part = reverse ? parts() - 1 - turn : turn;
    for (const int other : neighbours[static_cast<std::size_t>(part)])
      if (reverse ? other > part : other < part)
        while (!done[static_cast<std::size_t>(other)].load(std::memory_order_acquire))
          std::this_thread::yield();
    const int then = turn + omp_get_num_threads();
    work(part, then >= parts() ? part : reverse ? parts() - 1 - then : then);
    done[static_cast<std::size_t>(part)].store(true, std::memory_order_release);
  }
}

/// METIS cuts the graph into parts of about `nodes_per_part`. They are coloured, and parts of one colour,
/// which do not couple, follow one another, so that threads seldom wait. Within a part nodes go breadth
/// first, so that what a row reads is still in cache. Throws std::runtime_error if METIS fails.
SweepOrder make_sweep_order(const NodeGraph& graph, int nodes_per_part = 800);

}  // namespace setstress
