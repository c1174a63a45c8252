#pragma once
// Private to viz/: where the opened box is open: names of its free rims.

#include <string>
#include <vector>

#include "viz/surface/opened_box.hpp"

namespace setstress::viz {

struct RimName {
  std::string text;      ///< "occlusal rim", "open side"
  Eigen::Vector2d at;    ///< middle of the rim in the opened box [mm]
  Eigen::Vector2d side;  ///< unit vector from the piece to the name
  int piece;             ///< whose rim it is
};

/// Of a cavity in a tooth, a name for each piece's rim in the occlusal surface and for its rim on another
/// open side; none for specimens.
std::vector<RimName> rim_names(const BondSurface& bond, const OpenedBox& opened);

}  // namespace setstress::viz
