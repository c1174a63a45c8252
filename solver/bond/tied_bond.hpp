#pragma once
// Traction on a bond that is tied (shared nodes, no film): read off the stress of the filling at the wall,
// and brought into balance with its nodal forces.

#include <array>
#include <vector>

#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Fills the points of tied facets under placed filling; `stress` by tetrahedron and stress point [MPa].
void add_tied_bond(const Model& model, const std::vector<char>& placed,
                   const std::vector<std::array<Vector6d, 4>>& stress, double time,
                   std::vector<std::array<BondPoint, 6>>& points);

}  // namespace setstress
