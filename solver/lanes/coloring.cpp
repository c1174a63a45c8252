#include "solver/lanes/coloring.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

namespace setstress {

namespace {

/// Counting sort by color.
Coloring by_color(const std::vector<std::int32_t>& things, const std::vector<std::int32_t>& color) {
  const std::int32_t colors = color.empty() ? 0 : 1 + *std::max_element(color.begin(), color.end());
  Coloring coloring{std::vector<std::int32_t>(things.size()),
                    std::vector<std::int32_t>(static_cast<std::size_t>(colors) + 1, 0)};
  for (const std::int32_t c : color) ++coloring.run_start[static_cast<std::size_t>(c) + 1];
  for (std::size_t c = 0; c < static_cast<std::size_t>(colors); ++c)
    coloring.run_start[c + 1] += coloring.run_start[c];
  std::vector<std::int32_t> next = coloring.run_start;
  for (std::size_t i = 0; i < things.size(); ++i)
    coloring.order[static_cast<std::size_t>(next[static_cast<std::size_t>(color[i])]++)] = things[i];
  return coloring;
}

/// The first color that is not among those `taken`, which it clears again.
std::int32_t first_free(std::vector<char>& is_taken, const std::vector<std::int32_t>& taken) {
  for (const std::int32_t c : taken) {
    if (static_cast<std::size_t>(c) >= is_taken.size()) is_taken.resize(static_cast<std::size_t>(c) + 1, 0);
    is_taken[static_cast<std::size_t>(c)] = 1;
  }
  const auto free = std::find(is_taken.begin(), is_taken.end(), 0) - is_taken.begin();
  for (const std::int32_t c : taken) is_taken[static_cast<std::size_t>(c)] = 0;
  return static_cast<std::int32_t>(free);
}

}  // namespace

Coloring color_rows(const std::vector<std::int32_t>& start, const std::vector<std::int32_t>& column) {
  const std::size_t rows = start.size() - 1;
  std::vector<std::int32_t> all(rows), color(rows, -1), taken;
  std::vector<char> is_taken;
  for (std::size_t row = 0; row < rows; ++row) {
    all[row] = static_cast<std::int32_t>(row);
    taken.clear();
    for (auto k = static_cast<std::size_t>(start[row]); k < static_cast<std::size_t>(start[row + 1]); ++k)
      if (const std::int32_t c = color[static_cast<std::size_t>(column[k])]; c >= 0) taken.push_back(c);
    color[row] = first_free(is_taken, taken);
  }
  return by_color(all, color);
}

template <std::size_t n>
Coloring color_groups(const std::vector<std::int32_t>& used,
                      const std::vector<std::array<std::int32_t, n>>& nodes) {
  std::vector<std::vector<std::int32_t>> at_node;  // colors
  std::vector<std::int32_t> color, taken;
  std::vector<char> is_taken;
  for (const std::int32_t one : used) {
    taken.clear();
    for (const std::int32_t node : nodes[static_cast<std::size_t>(one)]) {
      if (static_cast<std::size_t>(node) >= at_node.size())
        at_node.resize(static_cast<std::size_t>(node) + 1);
      const auto& there = at_node[static_cast<std::size_t>(node)];
      taken.insert(taken.end(), there.begin(), there.end());
    }
    color.push_back(first_free(is_taken, taken));
    for (const std::int32_t node : nodes[static_cast<std::size_t>(one)])
      at_node[static_cast<std::size_t>(node)].push_back(color.back());
  }
  return by_color(used, color);
}
template Coloring color_groups<10>(const std::vector<std::int32_t>&,
                                   const std::vector<std::array<std::int32_t, 10>>&);
template Coloring color_groups<12>(const std::vector<std::int32_t>&,
                                   const std::vector<std::array<std::int32_t, 12>>&);

void require_uncoupled_runs(const LaneMesh& mesh) {
  for (std::size_t run = 0; run + 1 < mesh.run_start.size(); ++run)
    for (std::int32_t row = mesh.run_start[run]; row < mesh.run_start[run + 1]; ++row)
      for (std::int32_t k = mesh.rows.start[static_cast<std::size_t>(row)];
           k < mesh.rows.start[static_cast<std::size_t>(row) + 1]; ++k) {
        const std::int32_t other = mesh.rows.column[static_cast<std::size_t>(k)];
        if (other >= mesh.run_start[run] && other < mesh.run_start[run + 1])
          throw std::invalid_argument("rows " + std::to_string(row) + " and " + std::to_string(other) +
                                      " are to be swept at once, but are coupled; order them by color");
      }
}

}  // namespace setstress
