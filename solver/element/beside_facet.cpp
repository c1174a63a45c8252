#include "solver/element/beside_facet.hpp"

#include <algorithm>

namespace setstress {

double mean_beside(const Mesh& mesh, const BondFacet& facet, const PointValues& values) {
  const auto behind = static_cast<std::size_t>(facet.filling_tetrahedron);
  const auto& nodes = mesh.tetrahedra[behind].nodes;
  double sum = 0;
  for (std::size_t corner = 0; corner < 4; ++corner)  // stress point i is nearest to corner i
    if (std::find(facet.filling.begin(), facet.filling.begin() + 3, nodes[corner]) !=
        facet.filling.begin() + 3)
      sum += values[behind][corner];
  return sum / 3.0;
}

}  // namespace setstress
