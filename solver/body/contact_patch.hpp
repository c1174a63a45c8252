#pragma once
// Where a bite meets an outer surface, and the nodal forces that it lays there.

#include <Eigen/Core>
#include <stdexcept>
#include <string>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/bite.hpp"

namespace setstress {

/// A bite that cannot be laid on a mesh; `key` is the value at fault: "surface", "centre", "radius",
/// "direction".
struct BiteFault : std::invalid_argument {
  BiteFault(std::string key_, const std::string& sentence)
      : std::invalid_argument(sentence), key(std::move(key_)) {}
  std::string key;
};

/// Points of the surface within the radius of the centre, evenly loaded.
struct ContactPatch {
  Eigen::Vector3d centre;  ///< on the surface [mm]
  double area;             ///< that the mesh has of it [mm2]
  Eigen::VectorXd forces;  ///< 3 per node [N], at the full force: they add up to it
};

/// Share of the patch's round area that must lie on the surface.
inline constexpr double least_on_surface = 0.9;

/// Throws BiteFault where the surface is not there, has no point at `centre` seen from occlusal, ends within
/// the patch, or is pulled instead of pushed.
ContactPatch contact_patch(const Mesh& mesh, const Bite& bite);

}  // namespace setstress
