#pragma once
// Facets named apart from all around them. Internal to mesh/.

#include <string>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

struct NamedFacet {
  BondFacet facet;
  std::string wall;
};

/// Where line angles are rounded, the flat facet of a curved corner can lean towards the wall across the
/// edge. A facet that shares no edge with its own wall takes the name that most of its neighbours have.
void join_splinters(std::vector<NamedFacet>& facets);

}  // namespace setstress
