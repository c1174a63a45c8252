#pragma once
// Values of a composite that must fit each other.

#include "cases/reader/toml_reader.hpp"
#include "materials/composite.hpp"

namespace setstress {

/// Refuses a flow law with a branch in use that lacks its relaxation times, times that fall with cure, shares
/// that add up to more than all, values of a law that is not in use, and paste that is more compressible
/// before it sets than after. `section` gives the place. Throws CaseError.
void check_composite(const Composite& composite, const Section& section);

}  // namespace setstress
