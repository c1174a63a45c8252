#pragma once
// The materials of a case, resolved: library, the user's own files and overrides put together.

#include <array>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/library/spreads.hpp"
#include "materials/bond.hpp"
#include "materials/composite.hpp"
#include "materials/strength_field.hpp"
#include "materials/tissue.hpp"

namespace setstress {

struct CaseMaterials {
  Elastic enamel, pulp, fixture;
  std::array<Elastic, 4> dentin;                ///< coronal, middle, cervical, radicular
  std::map<std::string, Composite> composites;  ///< by class, those that the plan uses
  Adhesive adhesive;
  std::map<std::string, WallBond> wall_bonds;   ///< by wall, those with values of their own
  std::optional<StrengthField> strength_field;  ///< how strength varies along the bond; empty: it does not
  double tissue_attenuation = 1.0;              ///< of light in tooth or fixture [1/mm]
  std::vector<Spread> spreads;                  ///< how uncertain inputs are
  nlohmann::ordered_json provenance;            ///< every value used with its source, for the manifest
  std::vector<std::string> notes;               ///< values that look wrong and are not refused, sentences
};

}  // namespace setstress
