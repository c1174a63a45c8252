#pragma once
// One [[factor]] of a study file.

#include "cases/study/file/study.hpp"

namespace setstress {

/// Reads a list, a range, a distribution or alternatives. Throws CaseError.
Factor read_factor(const Section& section);

}  // namespace setstress
