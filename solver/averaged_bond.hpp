#pragma once
// The bond averaged over a fixed length. Traction is singular at line angles and margins, so a value at a
// point there depends on the mesh; its average over a fixed area does not. The same step makes strength
// criteria usable at notches: average stress criterion (Whitney and Nuismer, J Compos Mater 8 (1974) 253).

#include <array>
#include <vector>

#include "mesh/mesh.hpp"
#include "solver/frame.hpp"

namespace setstress {

/// Across the disc that is averaged over [mm]: well below the width of a wall, well above an enamel prism or
/// a dentin tubule. A choice; it is the same for every wall, material and mesh.
inline constexpr double averaging_length = 0.3;

/// Averages over the part of the wall, already placed, within half the averaging length of a point.
struct AveragedPoint {
  double normal = 0;  ///< [MPa], tension positive
  double shear = 0;   ///< magnitude of the mean vector [MPa]
  double ratio = 0;   ///< of the mean normal and shear traction, each over its strength [-]; where the bond
                      ///< has begun to soften its own ratio, at least 1
};

/// By bond facet and facet point; zero where nothing has been placed. Throws std::invalid_argument when the
/// sizes of mesh and frame disagree.
std::vector<std::array<AveragedPoint, 6>> averaged_bond(const Mesh& mesh, const Frame& frame);

}  // namespace setstress
