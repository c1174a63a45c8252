#pragma once
// The bond laid out flat, true to scale: floor in the middle, walls folded out around it, seen from inside.

#include "viz/files/result_reader.hpp"

namespace setstress {

/// One connected part of one wall, as it lies in the plane.
struct OpenedPiece {
  int wall;                   ///< index into BondSurface::walls
  Eigen::Vector2d centre;     ///< [mm]
  Eigen::Vector2d name_at;    ///< where its name goes [mm]: outside its outer or upper rim, or its centre
  Eigen::Vector2d name_side;  ///< unit vector from the rim to the name; zero for a name on the piece
  double area = 0;            ///< [mm2]
  bool named = true;          ///< false for a splinter beside a far larger piece of the same wall
};

/// Plane coordinates [mm] of the corners of every triangle, in the order of BondSurface::triangles. The
/// middle piece lies as seen from occlusal: x (distal) to the right, y (buccal) up.
struct OpenedBox {
  std::vector<std::array<Eigen::Vector2d, 3>> corners;
  std::vector<int> piece_of;  ///< by triangle
  std::vector<OpenedPiece> pieces;
  Eigen::Vector2d low = Eigen::Vector2d::Zero(),
                  high = Eigen::Vector2d::Zero();  ///< corners of its outline [mm]
};

/// Unfolds triangle by triangle: flat, cylindrical and conical walls keep their true size and shape; a wall
/// that cannot lie flat (rounded both ways) is stretched as little as possible, or left torn where that would
/// fold it. Each wall hangs on a floor where it touches one, else on the neighbour with the longest common
/// edge, set off by `gap` [mm]; a closed round wall is slit opposite to the side that hangs.
OpenedBox open_box(const BondSurface& bond, double gap = 0.15);

}  // namespace setstress
