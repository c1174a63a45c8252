#pragma once
// The same plan with another wait before one of its increments.

#include "cases/file/case.hpp"

namespace setstress {

/// The wait [s] that entry `entry` (1, 2, ...) of [[plan.increment]] has in the case file. Throws CaseError
/// where there is no such entry, or where it or a later one is placed at a fixed instant (placed_at), which a
/// longer wait would run into.
double wait_before(const Case& input, int entry);

/// Plan in which that entry waits `wait` [s] (each of its increments, where it makes several): everything
/// from there on is moved in time; instants in plan.frames stay, those beyond the end are left out. What the
/// case file with that wait written into it says. Throws as wait_before().
Plan with_wait(const Case& input, int entry, double wait);

}  // namespace setstress
