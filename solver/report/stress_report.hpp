#pragma once
// What the tooth and the filling feel at one instant: tensile stress by tissue, and how far the cusps move.

#include <optional>
#include <string>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Volume-weighted percentiles of the first principal stress [MPa], tension positive.
struct TensileStress {
  std::string body;  ///< "enamel", "dentin", "filling", or the region of a specimen
  double p50, p95, p99;
};
/// One entry for each tissue or fixture and one for all of the filling placed by now. Bodies not there are
/// left out.
std::vector<TensileStress> tensile_stress(const Mesh& mesh, const Frame& frame);

/// Area mean over a surface of the displacement along `direction` (unit vector) [mm]; empty where the mesh
/// has no such surface.
std::optional<double> mean_displacement(const Mesh& mesh, const Frame& frame, const std::string& surface,
                                        const Eigen::Vector3d& direction);

/// How far points of a cusp's edge along the cavity have moved towards it [mm].
struct CavityEdge {
  double mesial, distal;  ///< the ends of the edge
  double middle;          ///< half way between them along x
};

/// How far each cusp, or each wall of a mould, has moved towards the cavity [mm]; empty where there is none.
struct CuspDeflection {
  double buccal, lingual;                                         ///< mean over its whole occlusal surface
  double largest_buccal, largest_lingual;                         ///< where it moves most
  std::optional<CavityEdge> buccal_edge = {}, lingual_edge = {};  ///< empty where no bond reaches the surface
};
std::optional<CuspDeflection> cusp_deflection(const Mesh& mesh, const Frame& frame);

}  // namespace setstress
