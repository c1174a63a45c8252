#pragma once
// Light and cure of a plan without mechanics: neither depends on stress.

#include <vector>

#include "solver/body/light_paths.hpp"
#include "solver/element/beside_facet.hpp"
#include "solver/model/model.hpp"

namespace setstress {

struct CureAlone {
  std::vector<char> placed;  ///< by region, at the end
  PointValues conversion;    ///< relative, at the end [-]
  PointValues exposure;      ///< radiant exposure during the exposures of its own increment [J/cm2]
  std::vector<double> lit;   ///< by increment: how long its own exposures last, those side by side once [s]
};

/// Steps from event to event. Conversions are those of a run but for what the integration of the cure law
/// promises (materials/composite.hpp): a run takes more and shorter steps. `light` of the model's mesh.
CureAlone cure_alone(const Model& model, const LightPaths& light);

}  // namespace setstress
