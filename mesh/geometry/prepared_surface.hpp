#pragma once
// The tooth as it is prepared, to be looked at: its surface alone, in a fraction of the time of a mesh.

#include <array>
#include <string>
#include <vector>

#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// The closed surface of a tooth with its cavity empty. Curved faces are followed to a few hundredths of a
/// mm.
struct PreparedSurface {
  struct Triangle {
    std::array<int, 3> corners;  ///< counter-clockwise from outside the tooth
    int tissue;                  ///< behind it, index into `tissues`
    int wall;                    ///< index into `walls`; -1 on what is not to be bonded
  };
  std::vector<Eigen::Vector3d> points;  ///< [mm]
  std::vector<Triangle> triangles;
  std::vector<std::string> tissues, walls;
  double free_area = 0;  ///< of the surface that a filling of the cavity would not be bonded on [mm2]
};

/// Of a triangle: twice its area, along its normal [mm2].
Eigen::Vector3d normal_of(const PreparedSurface& surface, const std::array<int, 3>& corners);

/// Makes all triangles of a closed surface run the same way round, from outside counter-clockwise.
void orient_outwards(PreparedSurface& surface);

}  // namespace setstress
