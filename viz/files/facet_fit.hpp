#pragma once
// Private to viz/: from the six points of a bond facet to its six nodes.

#include <array>

namespace setstress::viz {

/// Values at the six nodes (corners, then middles of edges 01, 12, 20) of the straight-line least-squares
/// fit, weighted by area, to the values at the six facet points; kept within the range of those values, so
/// that a bond that lets go half-way across a facet shows neither negative nor impossible strengths.
std::array<double, 6> at_nodes(const std::array<double, 6>& at_facet_points);

}  // namespace setstress::viz
