#include "mesh/tetrahedra/splinters.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace setstress {
namespace {

/// By edge, its corners in rising order: the facets along it.
using Edges = std::map<std::pair<int, int>, std::vector<std::size_t>>;

std::array<std::pair<int, int>, 3> edges_of(const BondFacet& facet) {
  const auto edge = [&facet](std::size_t from, std::size_t to) {
    return std::minmax({facet.tooth[from], facet.tooth[to]});
  };
  return {edge(0, 1), edge(1, 2), edge(2, 0)};
}

/// How many neighbours across an edge have each name.
std::map<std::string, int> names_around(const std::vector<NamedFacet>& facets, const Edges& edges,
                                        std::size_t facet) {
  std::map<std::string, int> names;
  for (const auto& edge : edges_of(facets[facet].facet))
    for (const std::size_t neighbour : edges.at(edge))
      if (neighbour != facet) ++names[facets[neighbour].wall];
  return names;
}

}  // namespace

void join_splinters(std::vector<NamedFacet>& facets) {
  Edges edges;
  for (std::size_t f = 0; f < facets.size(); ++f)
    for (const auto& edge : edges_of(facets[f].facet)) edges[edge].push_back(f);
  std::vector<std::string> joined;
  for (std::size_t f = 0; f < facets.size(); ++f) {
    const std::map<std::string, int> names = names_around(facets, edges, f);
    const bool is_splinter = !names.empty() && !names.contains(facets[f].wall);
    const auto by_count = [](const auto& a, const auto& b) { return a.second < b.second; };
    joined.push_back(is_splinter ? std::max_element(names.begin(), names.end(), by_count)->first
                                 : facets[f].wall);
  }
  for (std::size_t f = 0; f < facets.size(); ++f) facets[f].wall = joined[f];
}

}  // namespace setstress
