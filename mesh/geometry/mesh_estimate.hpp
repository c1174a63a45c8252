#pragma once
// How large a mesh will be, before it is made.

#include <functional>

#include "mesh/geometry/mesh_size.hpp"

namespace setstress {

/// What the number of elements follows.
struct SolidSizes {
  double filling = 0;  ///< volume [mm3]
  double rest = 0;     ///< volume of all else [mm3]
  double bond = 0;     ///< area between them [mm2]
};

/// Called with the solids before they are meshed; what it throws ends the meshing.
using BeforeMeshing = std::function<void(const SolidSizes&)>;

/// Unknowns (three a node) of the mesh of such solids. Held against the ready-made cases and specimens with
/// 20,000 to 780,000 unknowns: 0.8 to 1.25 of them, from 40,000 on; small details, such as thin enamel, make
/// coarse meshes up to twice as large.
double estimated_unknowns(const SolidSizes& solids, const MeshSize& size);

}  // namespace setstress
