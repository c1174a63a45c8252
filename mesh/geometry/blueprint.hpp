#pragma once
// What a shape hands to the mesher: solids in Gmsh's OpenCASCADE model and how to name what comes out of
// them. Internal to mesh/.

#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

#include "mesh/geometry/layers.hpp"
#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// Solids of the current OpenCASCADE model that make up one region.
struct Part {
  std::vector<int> volumes;  ///< OpenCASCADE tags, dimension 3
  std::string region;  ///< name of the region; for the filling "", its increments are named by the layout
  bool filling = false;
};

/// A solid to be meshed. Where parts overlap the later one wins, so a tooth is simply "dentin, then enamel,
/// then pulp, then the cavity". The filling should lie inside the union of the others or beside it, as it is
/// to be meshed.
struct Blueprint {
  std::vector<Part> parts;
  std::vector<CuttingPlane> layout;  ///< cuts the filling into increments

  /// Name of the wall that a bond facet belongs to, from its centroid [mm] and unit normal (tooth into
  /// filling); "" for a crack that is open from the start, whose two sides count as outer surface.
  std::function<std::string(const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal)> wall;
  /// Name of the surface that an outer facet belongs to, from its centroid [mm], outward unit normal and
  /// region;
  /// "" for none.
  std::function<std::string(const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                            const Region& region)>
      surface;
};

}  // namespace setstress
