#pragma once
// Outputs looked at before the first run: each must name a number that a summary has.

#include "cases/study/design/study_plan.hpp"
#include "cases/study/runs/mesh_cache.hpp"

namespace setstress {

/// Meshes the first possible case of `plan` (kept in `meshes` for its run) and looks every output up in a
/// summary of it that is whole but for the solving; where one is missing, further rows of other shapes, five
/// in all. Throws CaseError, with the place in the study file, where none of them has all outputs.
void require_outputs(const Study& study, const StudyPlan& plan, const MeshCache& meshes);

}  // namespace setstress
