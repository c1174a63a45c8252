#include "solver/linear/matrix/assembly_map.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <numeric>

namespace setstress {

namespace {

constexpr std::size_t groups_per_run = 32;

/// Groups in order of their smallest node, so that neighbours in the list are neighbours in the mesh.
std::vector<int> by_smallest_node(const NodeGroups& groups) {
  std::vector<int> smallest(static_cast<std::size_t>(groups.size()));
  for (int g = 0; g < groups.size(); ++g)
    smallest[static_cast<std::size_t>(g)] = *std::min_element(groups[g].begin(), groups[g].end());
  std::vector<int> order(smallest.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return smallest[static_cast<std::size_t>(a)] < smallest[static_cast<std::size_t>(b)];
  });
  return order;
}

/// Greedy colouring of runs; a colour is a bit, 64 at a time, in a mask kept by node.
std::vector<int> colour_runs(int nodes, const NodeGroups& groups, const std::vector<int>& order) {
  const std::size_t runs = (order.size() + groups_per_run - 1) / groups_per_run;
  std::vector<int> colour(runs, -1);
  for (int base = 0; std::find(colour.begin(), colour.end(), -1) != colour.end(); base += 64) {
    std::vector<std::uint64_t> used(static_cast<std::size_t>(nodes), 0);
    for (std::size_t run = 0; run < runs; ++run) {
      if (colour[run] >= 0) continue;
      const std::size_t last = std::min(order.size(), (run + 1) * groups_per_run);
      std::uint64_t taken = 0;
      for (std::size_t k = run * groups_per_run; k < last; ++k)
        for (const int node : groups[order[k]]) taken |= used[static_cast<std::size_t>(node)];
      if (~taken == 0) continue;
      const int bit = std::countr_one(taken);
      colour[run] = base + bit;
      for (std::size_t k = run * groups_per_run; k < last; ++k)
        for (const int node : groups[order[k]])
          used[static_cast<std::size_t>(node)] |= std::uint64_t{1} << bit;
    }
  }
  return colour;
}

}  // namespace

AssemblyMap::AssemblyMap(const NodeGraph& graph, const NodeGroups& groups) {
  const std::vector<int> order = by_smallest_node(groups);
  const std::vector<int> colour = colour_runs(graph.nodes, groups, order);
  std::vector<std::size_t> runs(colour.size());
  std::iota(runs.begin(), runs.end(), std::size_t{0});
  std::stable_sort(runs.begin(), runs.end(),
                   [&](std::size_t a, std::size_t b) { return colour[a] < colour[b]; });
  for (std::size_t place = 0; place < runs.size(); ++place) {
    if (place == 0 || colour[runs[place]] != colour[runs[place - 1]]) colour_start_.push_back(place);
    run_start_.push_back(order_.size());
    const auto first = order.begin() + static_cast<std::ptrdiff_t>(runs[place] * groups_per_run);
    order_.insert(order_.end(), first, first + std::min<std::ptrdiff_t>(groups_per_run, order.end() - first));
  }
  colour_start_.push_back(runs.size());
  run_start_.push_back(order_.size());

  position_start_.assign(static_cast<std::size_t>(groups.size()) + 1, 0);
  for (int g = 0; g < groups.size(); ++g)
    position_start_[static_cast<std::size_t>(g) + 1] =
        position_start_[static_cast<std::size_t>(g)] + groups[g].size() * groups[g].size();
  position_.reserve(position_start_.back());
  for (int g = 0; g < groups.size(); ++g)
    for (const int row : groups[g])
      for (const int col : groups[g]) position_.push_back(static_cast<int>(graph.position(row, col)));
}

}  // namespace setstress
