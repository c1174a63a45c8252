#pragma once
// Values that cannot be: how far from anything published a value of a material or bond may lie.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace setstress {

/// Looks at `values` of a class (by dotted key: value, unit, place), of `kind` "composite", "tissue",
/// "fixture", "adhesive" or "bond to a wall". A value ten times beyond all that is published of its kind is
/// refused with CaseError, unless `beyond_published`; three times beyond, and all that are refused otherwise,
/// becomes a sentence in `notes`. A zero that switches an effect off is no matter of size.
void check_plausible(const std::string& kind, const std::string& name, const nlohmann::ordered_json& values,
                     bool beyond_published, std::vector<std::string>& notes);

/// Appends a sentence for each strength or fracture energy whose source says that it equals its twin (shear
/// and tensile, sliding and opening) while that has been given another value.
void note_broken_pairs(const nlohmann::ordered_json& values, std::vector<std::string>& notes);

}  // namespace setstress
