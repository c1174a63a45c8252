#include "solver/run/coarse_parents.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/linear/coarse/coarse_level.hpp"

namespace setstress {

namespace {

constexpr double flat = 0.45;           // mean ratio; above it keeping costs more than it saves
constexpr double most_extra = 1.0 / 3;  // of the corners: a factor of that many more costs less than it saves

/// Flat tetrahedra, the flattest first.
std::vector<int> flat_tetrahedra(const Mesh& mesh) {
  std::vector<std::pair<double, int>> found;
  for (std::size_t t = 0; t < mesh.tetrahedra.size(); ++t)
    if (const double ratio = mean_ratio(mesh, mesh.tetrahedra[t]); ratio < flat)
      found.emplace_back(ratio, static_cast<int>(t));
  std::sort(found.begin(), found.end());
  std::vector<int> sorted;
  for (const auto& [ratio, tetrahedron] : found) sorted.push_back(tetrahedron);
  return sorted;
}

}  // namespace

std::vector<std::array<int, 2>> coarse_parents(const Mesh& mesh) {
  std::vector<std::array<int, 2>> parents = edge_node_parents(mesh);
  const auto is_kept = [&](int node) { return parents[static_cast<std::size_t>(node)][0] == node; };
  int kept = 0;
  for (int node = 0; node < static_cast<int>(parents.size()); ++node) kept += is_kept(node);
  const int most = std::min(static_cast<int>((1 + most_extra) * kept), CoarseLevel::corners_worth_a_factor);
  for (const int t : flat_tetrahedra(mesh))
    for (const int node : mesh.tetrahedra[static_cast<std::size_t>(t)].nodes) {
      if (kept >= most) return parents;
      kept += !is_kept(node);
      parents[static_cast<std::size_t>(node)] = {node, node};
    }
  return parents;
}

}  // namespace setstress
