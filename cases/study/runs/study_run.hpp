#pragma once
// Runs of a study, from the values of their factors to the numbers to keep.

#include <memory>
#include <span>

#include "cases/run/kept_run.hpp"
#include "cases/study/design/study_plan.hpp"
#include "cases/study/runs/mesh_cache.hpp"
#include "cases/study/table/study_database.hpp"
#include "solver/group/lane_machine.hpp"
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

  /// Makes runs side by side, 32 at most or, on a GPU, as many as there are, led by the first of `alike`
  /// (LaneClasses::with) that is a possible case; those that cannot follow it are made alone. A GPU that
  /// fails is told of on standard error, and the processor takes over. By entry of `rows`, otherwise as
  /// run().
  std::vector<RunRecord> run_together(std::span<const StudyRow* const> rows,
                                      std::span<const StudyRow* const> alike, LaneMachine machine);

 private:
  struct Posed;
  Model prepared(const Case& input, RunRecord& record);
  std::unique_ptr<Posed> posed(const StudyRow& row, bool leads);
  std::unique_ptr<Posed> leader_of(std::span<const StudyRow* const> alike);
  void solve_in_lanes(const Posed& leader, std::span<const std::unique_ptr<Posed>> runs, LaneMachine machine);
  void solve_on(LaneMachine machine, const Posed& leader, std::span<const std::unique_ptr<Posed>> runs);
  SolvedCase solved(const Case& input, const Model& model, bool next_alike, RunRecord& record);
  void keep_numbers(const nlohmann::ordered_json& summary, RunRecord& record) const;

  const Study& study_;
  const MeshCache& meshes_;
  std::string key_;  ///< of the mesh at hand
  Mesh mesh_;
  std::unique_ptr<const SharedMesh> shared_;
  std::unique_ptr<const KeptRun> kept_;
};

}  // namespace setstress
