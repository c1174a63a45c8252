#pragma once
// Tractions on a tied bond that are in balance with the filling: what elements say about stress at their
// faces is corrected so that nodal forces agree, which at sharp edges they do not by themselves.

#include <Eigen/Core>
#include <array>
#include <vector>

#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Tied facets under filling that has been placed: indices into Mesh::bond.
std::vector<std::size_t> tied_facets(const Model& model, const std::vector<char>& placed);

/// Adds to `tractions` (global axes [MPa], by facet of `facets` and facet point) the smooth field c over the
/// bond that brings their sum into balance with the nodal forces f of the filling:
/// integral N^T N c + A (grad N)^T grad N c = f - integral N^T t, with N the shapes of the bond's six-node
/// triangles and A their areas. Where a support holds a component, how much of the force comes from the tooth
/// is not known, and that component is left as it is.
void balance_tied(const Model& model, const std::vector<char>& placed,
                  const std::vector<std::array<Vector6d, 4>>& stress, const std::vector<std::size_t>& facets,
                  std::vector<std::array<Eigen::Vector3d, 6>>& tractions);

}  // namespace setstress
