#pragma once
// What a run will cost, from the number of its unknowns, and whether this machine can bear it.

#include "cases/file/case.hpp"

namespace setstress {

/// Seconds on two cores: steps grow with light exposures, waits and bites, each costs in proportion to the
/// unknowns (measured on the deep proximal box; debonding takes about four times as long as intact).
double estimated_seconds(const Case& input, double unknowns);

/// Most memory that a run takes at once [bytes], picture and frames included. Fitted to runs of
/// `deep-box-bulk` and `through-box`: 48,000 to 780,000 unknowns intact, 88,000 and 193,000 debonding, 48,000
/// to 128,000 with the direct solver; all within a tenth.
double estimated_memory(const Case& input, double unknowns);

/// Refuses a run that will not fit the memory that is free now, unless the case has `mesh.beyond_memory`.
/// `estimate`: the number of unknowns is one. Throws CaseError with both figures.
void require_memory(const Case& input, double unknowns, bool estimate);

}  // namespace setstress
