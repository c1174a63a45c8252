#include "cases/study/runs/study_run.hpp"

#include <omp.h>

#include <chrono>

#include "cases/pose/pose.hpp"
#include "cases/run/runner.hpp"
#include "cases/study/design/case_sum.hpp"
#include "cases/words/bond_words.hpp"

namespace setstress {

namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

bool fits(const SharedMesh& shared, const Model& model) {
  try {
    shared.require_fits(model);
    return true;
  } catch (const std::invalid_argument&) {  // the same mesh on other springs
    return false;
  }
}

}  // namespace

Model RowRunner::prepared(const Case& input, RunRecord& record) {
  const Clock::time_point start = Clock::now();
  const std::string key = mesh_key(input);
  record.mesh_shared = key == key_;
  if (key != key_) {
    key_.clear();
    std::optional<Mesh> mesh = meshes_.find(key);
    record.mesh_shared = mesh.has_value();
    if (!mesh) {
      mesh = mesh_of(input);
      meshes_.keep(key, *mesh);
    }
    mesh_ = std::move(*mesh);
    shared_.reset();
    key_ = key;
  }
  Model model = pose(input, mesh_);
  if (!shared_ || !fits(*shared_, model)) shared_ = std::make_unique<const SharedMesh>(model);
  if (input.solver.linear_solver == LinearSolver::two_level) (void)shared_->two_level();
  record.mesh_seconds = seconds_since(start);
  return model;
}

SolvedCase RowRunner::solved(const Case& input, const Model& model, bool next_alike, RunRecord& record) {
  const Clock::time_point start = Clock::now();
  if (kept_ && kept_->serves(input, model)) {
    SolvedCase judged = kept_->judged(input, model);
    record.solution_shared = true;
    record.saved_seconds = kept_->seconds() - seconds_since(start);
    return judged;
  }
  kept_.reset();
  const auto go_on = [](const Frame&, const HistoryEntry&, const Progress&) { return true; };
  if (next_alike && input.solver.mode == Mode::intact) {
    kept_ = std::make_unique<const KeptRun>(input, model, *shared_, go_on);
    return kept_->first();
  }
  return solve_case(input, model, go_on, *shared_);
}

RunRecord RowRunner::run(const StudyRow& row, bool next_alike) {
  const Clock::time_point start = Clock::now();
  RunRecord record;
  try {
    Case input = case_of(study_, row);
    record.case_sum = case_sum(input);
    input.solver.threads = 1;
    omp_set_num_threads(1);  // for the mesher and what is prepared, too
    const Model model = prepared(input, record);
    const nlohmann::ordered_json summary = solved(input, model, next_alike, record).summary;
    const OutputValues outputs = values_of(study_.outputs, summary);
    record.outputs = outputs.values;
    record.missing = outputs.missing;
    record.summary = summary.dump();
    record.message = coarse_mesh_sentence(summary);
    record.status = outputs.found > 0 ? RunStatus::done : RunStatus::failed;
  } catch (const CaseError& error) {
    record.status = RunStatus::refused;
    record.message = error.what();
  } catch (const std::exception& error) {
    record.message = error.what();
  }
  record.seconds = seconds_since(start);
  return record;
}

}  // namespace setstress
