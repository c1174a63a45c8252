#include "solver/linear/sweep/graph_parts.hpp"

#include <fmt/format.h>

#include <array>
#include <stdexcept>

namespace setstress {

std::vector<int> cut_into_parts(PartGraph graph, int parts) {
  static_assert(sizeof(idx_t) == sizeof(int));
  std::vector<idx_t> part(graph.weight.size(), 0);
  if (parts <= 1) return part;
  std::array<idx_t, METIS_NOPTIONS> options{};
  METIS_SetDefaultOptions(options.data());
  options[METIS_OPTION_SEED] = 1;
  options[METIS_OPTION_NITER] = 3;
  auto vertices = static_cast<idx_t>(graph.weight.size());
  idx_t constraints = 1, count = parts, cut = 0;
  const int status = METIS_PartGraphKway(&vertices, &constraints, graph.start.data(), graph.neighbour.data(),
                                         graph.weight.data(), nullptr, nullptr, &count, nullptr, nullptr,
                                         options.data(), &cut, part.data());
  if (status != METIS_OK)
    throw std::runtime_error(fmt::format("METIS could not cut the mesh into parts (status {})", status));
  return part;
}

}  // namespace setstress
