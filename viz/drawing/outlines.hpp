#pragma once
// Private to viz/: many small polygons that cover an area, as the outlines of that area;
// pieces of lines, as lines.

#include <vector>

#include "viz/drawing/drawing.hpp"

namespace setstress::viz {

/// Outlines of what the polygons cover, holes turning the other way. The polygons turn one way, do not
/// overlap and share whole sides; corners are rounded to `grid` [pixels], and those within it of a straight
/// line go.
std::vector<std::vector<FlatPoint>> outlines_of(const std::vector<std::vector<FlatPoint>>& polygons,
                                                double grid);

/// Short pieces of lines that meet end to end, as long lines: a hatching that every triangle cuts up takes a
/// twentieth of the space. Where more than two pieces meet all of them end; corners as in outlines_of().
std::vector<std::vector<FlatPoint>> joined_lines(const std::vector<std::vector<FlatPoint>>& pieces,
                                                 double grid);

}  // namespace setstress::viz
