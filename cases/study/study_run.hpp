#pragma once
// One run of a study, from the values of its factors to the numbers to keep.

#include "cases/study/mesh_cache.hpp"
#include "cases/study/study_database.hpp"
#include "cases/study/study_plan.hpp"

namespace setstress {

/// Reads, meshes (or takes the mesh from the cache) and solves one row, on one thread. Whatever goes wrong is
/// in the record; throws nothing of its own.
RunRecord run_row(const Study& study, const StudyRow& row, const MeshCache& meshes);

}  // namespace setstress
