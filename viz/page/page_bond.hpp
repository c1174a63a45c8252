#pragma once
// Private to viz/: the bond of a result as a page shows it.

#include "viz/page/page_result.hpp"

namespace setstress::viz {

/// Points, triangles, walls and empty series. `corners_only`: one triangle a facet in place of four.
void describe_bond(const BondSurface& bond, bool corners_only, PageResult& page);

/// Appends the values of one instant to the series of the bond and returns how its triangles look. Throws
/// std::runtime_error where the bond has another size than the one described.
std::vector<std::uint8_t> add_bond_values(const BondSurface& bond, bool corners_only, PageResult& page);

}  // namespace setstress::viz
