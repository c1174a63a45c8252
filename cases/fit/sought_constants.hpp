#pragma once
// Which constants are to be found, from where, and within which bounds.

#include "cases/fit/measurements.hpp"

namespace setstress {

/// [[constant]] of `root`, each once; a value of `start` becomes that from which its search starts. Throws
/// CaseError.
std::vector<SoughtConstant> read_constants(const Section& root, FittedMaterial& start);

}  // namespace setstress
