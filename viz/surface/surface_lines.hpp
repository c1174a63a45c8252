#pragma once
// Lines drawn on the bond: the same lines serve the view in space and the opened box.

#include "viz/surface/opened_box.hpp"

namespace setstress {

/// A straight piece within one triangle; its ends in barycentric coordinates.
struct SurfaceLine {
  std::size_t triangle;
  std::array<Eigen::Vector3d, 2> ends;
};

/// Rims of the walls.
std::vector<SurfaceLine> wall_outlines(const BondSurface& bond);
/// Where two increments meet on one wall.
std::vector<SurfaceLine> increment_joints(const BondSurface& bond);
/// Where the bond, filled and holding, has the stress-to-strength ratio `level`.
std::vector<SurfaceLine> ratio_contour(const BondSurface& bond, double level);

/// Rims of what has let go, inside one wall.
std::vector<SurfaceLine> debonding_front(const BondSurface& bond);

/// Rims of the numbered gaps, inside one wall; none where the file has no gap_number.
std::vector<SurfaceLine> gap_rims(const BondSurface& bond);

/// How a triangle is drawn: `losing` has lost at least a twentieth of its strength, `let_go` is debonded over
/// at least half of its facet.
enum class Looks { holding, losing, let_go, not_filled };
std::vector<Looks> looks_of(const BondSurface& bond);

/// Slanting lines, `spacing` [mm] apart in the opened box, over triangles that look `wanted`.
std::vector<SurfaceLine> hatching(const BondSurface& bond, const OpenedBox& box, Looks wanted,
                                  double spacing);

}  // namespace setstress
