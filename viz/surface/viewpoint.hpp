#pragma once
// From where to look at the bond.

#include "viz/files/result_reader.hpp"

namespace setstress {

/// Where the eye is and what it looks at [mm].
struct Viewpoint {
  Eigen::Vector3d focus, eye;
  double reach;  ///< largest distance of a point of the bond from `focus` [mm]
  std::vector<Eigen::Vector3d> keep_in_view;
};

/// Looks into the cavity so that of every wall as much as possible is seen from inside: among directions from
/// above, the one in which the worst-seen part of a wall is seen best, leaving the usual one (along an axis
/// of the tooth, half from above, from lingual) only for a clearly better one. Judged on the first bond.
/// Throws std::invalid_argument for no bonds.
Viewpoint viewpoint_into(const std::vector<const BondSurface*>& bonds);

}  // namespace setstress
