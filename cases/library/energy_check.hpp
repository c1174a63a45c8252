#pragma once
// A bond must be able to dissipate more than it stores.

#include "cases/reader/toml_reader.hpp"
#include "materials/bond.hpp"

namespace setstress {

/// Refuses an adhesive whose fracture energy is not above the elastic energy S^2/(2 k) that the film holds
/// when it reaches its strength, at any age, on one of the substrates `touched`: softening could then not
/// follow. `section` gives the place. Throws CaseError.
void check_fracture_energies(const Adhesive& adhesive, const Section& section,
                             const std::vector<Substrate>& touched);

}  // namespace setstress
