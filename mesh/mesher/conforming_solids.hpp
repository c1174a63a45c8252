#pragma once
// Cuts the filling into its increments and makes all solids of a blueprint conform. Internal to mesh/.

#include <vector>

#include "mesh/geometry/blueprint.hpp"

namespace setstress {

/// The solids of a blueprint after cutting: no overlaps, shared faces are one face, regions in order of the
/// parts with the increments last.
struct ConformingSolids {
  std::vector<Region> regions;
  std::vector<std::vector<int>> volumes;  ///< OpenCASCADE tags of each region
};

/// Needs synchronisation of the model afterwards. Throws GeometryError (key "layout") where a plane leaves an
/// increment empty.
ConformingSolids make_conforming(const Blueprint& blueprint);

/// Refuses, as make_conforming() would, a layout that leaves an increment empty; the filling is cut, nothing
/// else.
void check_layout(const Blueprint& blueprint);

}  // namespace setstress
