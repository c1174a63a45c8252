#pragma once
// [tooth], [preparation] or [specimen] of a case file.

#include <string>

#include "cases/reader/toml_reader.hpp"
#include "mesh/build/build_mesh.hpp"

namespace setstress {

/// Reads what is to be meshed, without its layout. Throws CaseError; leaves what only the geometry can know
/// to check().
Geometry read_geometry(const Section& root);

/// Where the filling lies, for layouts given by thickness.
struct FillingExtent {
  double floor, top;    ///< z [mm]
  SideWalls walls;      ///< buccal and lingual; of the box, where there is a step
  bool can_be_layered;  ///< by a list of planes
  bool has_filling;
};
FillingExtent extent_of_filling(const Geometry& geometry);

/// Puts the increments' planes into a geometry that can be layered.
void set_layout(Geometry& geometry, const std::vector<CuttingPlane>& layout);

/// "tooth", "butt-joint", ...: the kind as it is written in case files.
std::string kind_of(const Geometry& geometry);

}  // namespace setstress
