#pragma once
// What the tooth and the filling feel at one instant: tensile stress by tissue, and how far the cusps move.

#include <array>
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

/// How far each cusp, or each wall of a mould, has moved towards the cavity [mm].
struct CuspDeflection {
  double buccal, lingual;                                         ///< mean over its whole occlusal surface
  double largest_buccal, largest_lingual;                         ///< where it moves most
  std::optional<CavityEdge> buccal_edge = {}, lingual_edge = {};  ///< empty where no bond reaches the surface
};

/// Which nodes tell of the cusps, found once for all instants of a mesh, which must outlive this.
class CuspReport {
 public:
  explicit CuspReport(const Mesh& mesh);
  /// Empty where there are no two cusps.
  [[nodiscard]] std::optional<CuspDeflection> of(const Frame& frame) const;

 private:
  struct Cusp {
    std::string surface;
    Eigen::Vector3d inwards;  ///< towards the cavity
    std::vector<int> nodes;
    std::optional<std::array<int, 3>> edge;  ///< nodes: mesial, distal, middle
  };
  static Cusp cusp(const Mesh& mesh, const std::string& surface, const Eigen::Vector3d& inwards);

  const Mesh& mesh_;
  Cusp buccal_, lingual_;
};

/// The same for one instant.
std::optional<CuspDeflection> cusp_deflection(const Mesh& mesh, const Frame& frame);

}  // namespace setstress
