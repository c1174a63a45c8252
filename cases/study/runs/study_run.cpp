#include "cases/study/runs/study_run.hpp"

#include <omp.h>

#include <algorithm>
#include <chrono>

#include "cases/pose/pose.hpp"
#include "cases/run/runner.hpp"
#include "cases/run/solve_together.hpp"
#include "cases/study/design/case_sum.hpp"
#include "cases/study/design/mesh_key.hpp"
#include "cases/study/runs/lanes.hpp"
#include "cases/study/runs/run_pool.hpp"
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
  const auto go_on = [](const Frame&, const HistoryEntry&, const Progress& at) {
    RunPool::tell(at.fraction);
    return true;
  };
  if (next_alike && input.solver.mode == Mode::intact) {
    kept_ = std::make_unique<const KeptRun>(input, model, *shared_, go_on);
    return kept_->first();
  }
  return solve_case(input, model, go_on, *shared_);
}

void RowRunner::keep_numbers(const nlohmann::ordered_json& summary, RunRecord& record) const {
  const OutputValues outputs = values_of(study_.outputs, summary);
  record.outputs = outputs.values;
  record.missing = outputs.missing;
  record.summary = summary.dump();
  record.message = coarse_mesh_sentence(summary);
  record.status = outputs.found > 0 ? RunStatus::done : RunStatus::failed;
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
    keep_numbers(solved(input, model, next_alike, record).summary, record);
  } catch (const CaseError& error) {
    record.status = RunStatus::refused;
    record.message = error.what();
  } catch (const std::exception& error) {
    record.message = error.what();
  }
  record.seconds = seconds_since(start);
  return record;
}

/// A row on its way into a lane.
struct RowRunner::Posed {
  Case input;
  Model model;
  RunRecord record;
  bool is_made = false;
};

/// Nothing where the row is to be made alone, which says why. `leads`: it may need another mesh.
std::unique_ptr<RowRunner::Posed> RowRunner::posed(const StudyRow& row, bool leads) {
  const Clock::time_point start = Clock::now();
  try {
    std::unique_ptr<Posed> posed(new Posed{case_of(study_, row), {}, {}});
    posed->record.case_sum = case_sum(posed->input);
    posed->input.solver.threads = 1;
    omp_set_num_threads(1);
    if (!leads && mesh_key(posed->input) != key_) return nullptr;
    posed->model = prepared(posed->input, posed->record);
    posed->record.seconds = seconds_since(start);
    return posed;
  } catch (const std::exception&) {
    return nullptr;
  }
}

std::unique_ptr<RowRunner::Posed> RowRunner::leader_of(std::span<const StudyRow* const> alike) {
  for (const StudyRow* row : alike)
    if (auto leader = posed(*row, true)) return leader;
  return nullptr;
}

void RowRunner::solve_in_lanes(const Posed& leader, std::span<const std::unique_ptr<Posed>> runs,
                               LaneMachine machine) {
  const Clock::time_point start = Clock::now();
  const int lanes = narrowest_lanes(runs.size(), machine);
  std::vector<PosedCase> cases;
  std::vector<Posed*> of;
  const StepWatch watch = [](const Frame&, const HistoryEntry&, const Progress& at) {  // all are about as far
    RunPool::tell(at.fraction);
    return true;
  };
  for (const auto& run : runs)
    if (run && fits(*shared_, run->model)) {
      cases.push_back({&run->input, &run->model, watch});
      of.push_back(run.get());
    }
  const std::vector<std::optional<SolvedCase>> solved =
      solve_together({&leader.input, &leader.model}, cases, *shared_, lanes, Tissues::one_for_all, machine);
  const auto made = std::ranges::count_if(solved, [](const auto& one) { return one.has_value(); });
  for (std::size_t i = 0; i < solved.size(); ++i) {
    if (!solved[i]) continue;
    RunRecord& record = of[i]->record;
    try {
      keep_numbers(solved[i]->summary, record);
    } catch (const std::exception& error) {
      record.message = error.what();
    }
    record.lanes = lanes;
    record.led_by = leader.record.case_sum;
    record.machine = name_of(machine);
    record.seconds += seconds_since(start) / static_cast<double>(made);
    of[i]->is_made = true;
  }
}

/// As many at a time as the machine takes. What fails for all of them leaves them to be made alone, which
/// says what it was.
void RowRunner::solve_on(LaneMachine machine, const Posed& leader,
                         std::span<const std::unique_ptr<Posed>> runs) {
  const std::size_t most = machine == LaneMachine::gpu ? runs.size() : usual_lanes;
  try {
    for (std::size_t first = 0; first < runs.size(); first += most)
      solve_in_lanes(leader, runs.subspan(first, std::min(most, runs.size() - first)), machine);
  } catch (const std::exception& error) {
    if (machine == LaneMachine::processor) return;
    tell_of_processor(error.what());
    solve_on(LaneMachine::processor, leader, runs);
  }
}

std::vector<RunRecord> RowRunner::run_together(std::span<const StudyRow* const> rows,
                                               std::span<const StudyRow* const> alike, LaneMachine machine) {
  const std::unique_ptr<Posed> leader = leader_of(alike);
  std::vector<std::unique_ptr<Posed>> runs;
  for (const StudyRow* row : rows) runs.push_back(leader ? posed(*row, false) : nullptr);
  if (leader) solve_on(machine, *leader, runs);
  if (leader && runs.front()) {  // what the leader took for the mesh
    RunRecord& first = runs.front()->record;
    first.mesh_shared = leader->record.mesh_shared;
    first.mesh_seconds += leader->record.mesh_seconds;
    first.seconds += leader->record.seconds;
  }
  std::vector<RunRecord> records;
  for (std::size_t i = 0; i < rows.size(); ++i)
    records.push_back(runs[i] && runs[i]->is_made ? runs[i]->record : run(*rows[i], false));
  return records;
}

}  // namespace setstress
