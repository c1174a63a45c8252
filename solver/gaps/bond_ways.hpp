#pragma once
// Ways along the bond: which facet points touch which, over the borders of walls as well, how far apart they
// are, and where the bond ends. What gaps are found on.

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Two facet points that touch: points of one facet do; points of two facets do across an edge that these
/// share, where they lie within half of its length.
struct Touch {
  int from, to;   ///< facet points, 6 facet + point
  double length;  ///< along the bond, unfolded where it bends [mm]
};

/// A facet point beside the rim of the bond.
struct RimPoint {
  int point;
  double length;  ///< to the rim [mm]
};

/// Of the facets that are there; their rim is every edge of one facet alone, unless it lies on a surface in
/// `closed`, as a plane of symmetry does. By corners of the tooth side.
struct BondWays {
  std::vector<Touch> touches;  ///< each pair once
  std::vector<RimPoint> rim;   ///< a point beside two rims twice
};

/// `there` by bond facet. Throws std::invalid_argument where sizes disagree or `closed` names no surface.
BondWays bond_ways(const Mesh& mesh, const std::vector<char>& there, const std::set<std::string>& closed);

/// Of every facet point, 6 facet + point.
struct BondPoints {
  std::vector<Eigen::Vector3d> places;  ///< [mm]
  std::vector<double> areas;            ///< that a point stands for [mm2]
};
BondPoints bond_points(const Mesh& mesh);

}  // namespace setstress
