#pragma once
// What is told of a case while it is being changed: its solid, and what `setstress check` says. Both take
// seconds of computing, so they are worked out in a process of their own.

#include <nlohmann/json.hpp>

#include "cases/file/case.hpp"

namespace setstress {

/// Loads what all drafts need into this process, and with it into all that are copied from it. What fails is
/// told by the drafts.
void prepare_drafts();

/// Surface of the tooth with its cavity empty: `points` [mm], x y z in turn; `parts`, each with the `wall` it
/// belongs to (null outside the cavity), what it is `made_of` (substrate or tissue) and `triangles`, three
/// corners each; `walls` with `area_mm2` and `area_by_substrate_mm2`; `bonded_mm2`, `free_mm2`. `parts` is
/// empty for a specimen. Throws CaseError, GeometryError.
nlohmann::ordered_json drafted_solid(const Case& input);

/// The report of a check on a mesh far coarser than that of any run. Throws CaseError, GeometryError.
nlohmann::ordered_json drafted_check(Case input);

}  // namespace setstress
