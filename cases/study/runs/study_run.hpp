#pragma once
// Runs of a study, from the values of their factors to the numbers to keep.

#include <memory>

#include "cases/run/kept_run.hpp"
#include "cases/study/design/study_plan.hpp"
#include "cases/study/runs/mesh_cache.hpp"
#include "cases/study/table/study_database.hpp"
#include "solver/run/shared_mesh.hpp"

namespace setstress {

/// Makes one run after the other on one thread, and keeps the mesh and what the solver prepares for it, and a
/// solution, as long as the next run has the same.
class RowRunner {
 public:
  /// Both must outlive this.
  RowRunner(const Study& study, const MeshCache& meshes) : study_(study), meshes_(meshes) {}

  /// Whatever goes wrong is in the record; throws nothing of its own. `next_alike`: the next run may have the
  /// same solution, so that this one is worth keeping.
  RunRecord run(const StudyRow& row, bool next_alike);

 private:
  Model prepared(const Case& input, RunRecord& record);
  SolvedCase solved(const Case& input, const Model& model, bool next_alike, RunRecord& record);

  const Study& study_;
  const MeshCache& meshes_;
  std::string key_;  ///< of the mesh at hand
  Mesh mesh_;
  std::unique_ptr<const SharedMesh> shared_;
  std::unique_ptr<const KeptRun> kept_;
};

}  // namespace setstress
