#pragma once
// [[plan.light]] and [[plan.increment.light]]: one exposure.

#include "cases/reader/toml_reader.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// The exposure, without its start. Throws CaseError.
Exposure read_exposure(const Section& light);

}  // namespace setstress
