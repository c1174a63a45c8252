#pragma once
// [gap_fluid] of a case file: what enclosed gaps hold under bites, and where it leaves.

#include "cases/file/case.hpp"

namespace setstress {

/// Reads the fluid into a plan whose bites are read, if the file has any. Throws CaseError.
void read_gap_fluid(const Section& root, Plan& plan);

}  // namespace setstress
