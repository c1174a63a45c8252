#pragma once
// [[bite]] of a case file: forces on the finished filling, one after the other.

#include "cases/file/case.hpp"

namespace setstress {

/// Mean pressure of a bite's patch from which crushing is told [MPa]: about the compressive strength of
/// dentin and composite (from memory).
inline constexpr double crushing_pressure = 300;

/// Appends the bites to the end of the plan. Throws CaseError. Surfaces and patches are checked against the
/// mesh by pose().
void read_bites(const Section& root, Plan& plan);

}  // namespace setstress
