#pragma once
// A flat cut through the volume of a result.

#include "viz/files/result_reader.hpp"

namespace setstress {

/// All corners are on straight tetrahedra; a corner of the cut is a point of an edge between two nodes.
struct CutCorner {
  std::array<int, 2> nodes;
  double share;  ///< of the second node [-]
};
struct CutTriangle {
  std::array<CutCorner, 3> corners;
  std::size_t tetrahedron;
};
/// Where the cut meets the boundary of a region.
struct CutLine {
  std::array<CutCorner, 2> ends;
};
struct PlaneCut {
  int axis = 1;         ///< normal to the plane: 0 x (mesio-distal), 1 y (bucco-lingual), 2 z (occlusal)
  double position = 0;  ///< of the plane along it [mm]
  std::vector<CutTriangle> triangles;
  std::vector<CutLine> lines;
};

/// Cuts the undeformed volume. Throws std::invalid_argument, with the range allowed, for an axis other than
/// 0, 1, 2 and for a plane that misses.
PlaneCut cut(const VolumeCells& volume, int axis, double position);

/// Middle of the filling along an axis [mm]; of everything where nothing is filled.
double middle_of_filling(const VolumeCells& volume, int axis);

/// Nodal values, by region, of a cell value: mean over the tetrahedra of the region at the node, weighted by
/// volume. Never mixes regions: stress jumps between materials. Key: region and node.
using RegionNodeValues = std::map<std::pair<int, int>, double>;
RegionNodeValues smooth_by_region(const VolumeCells& volume, const Eigen::VectorXd& cell_values);

}  // namespace setstress
