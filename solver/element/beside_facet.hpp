#pragma once
// Values of the filling right behind the bond.

#include <array>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// One value by tetrahedron of the mesh and stress point.
using PointValues = std::vector<std::array<double, 4>>;

/// Mean of `values` over the three stress points, of the filling's tetrahedron behind `facet`, that lie
/// nearest to it.
double mean_beside(const Mesh& mesh, const BondFacet& facet, const PointValues& values);

}  // namespace setstress
