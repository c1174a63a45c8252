#include "cases/study/study_run.hpp"

#include <chrono>

#include "cases/pose.hpp"
#include "cases/runner.hpp"

namespace setstress {

namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

Mesh shared_mesh(const Case& input, const MeshCache& meshes, RunRecord& record) {
  const Clock::time_point start = Clock::now();
  const std::string key = mesh_key(input);
  std::optional<Mesh> mesh = meshes.find(key);
  record.mesh_shared = mesh.has_value();
  if (!mesh) {
    mesh = mesh_of(input);
    meshes.keep(key, *mesh);
  }
  record.mesh_seconds = seconds_since(start);
  return std::move(*mesh);
}

std::vector<double> outputs_of(const Study& study, const nlohmann::ordered_json& summary) {
  std::vector<double> values;
  for (const Output& output : study.outputs) {
    try {
      values.push_back(value_at(summary, output.path));
    } catch (const std::out_of_range& error) {
      throw std::runtime_error("output " + output.name + ": " + error.what());
    }
  }
  return values;
}

}  // namespace

RunRecord run_row(const Study& study, const StudyRow& row, const MeshCache& meshes) {
  const Clock::time_point start = Clock::now();
  RunRecord record;
  try {
    Case input = case_of(study, row);
    input.solver.threads = 1;
    const Model model = pose(input, shared_mesh(input, meshes, record));
    const SolvedCase solved =
        solve_case(input, model, [](const Frame&, const HistoryEntry&, const Progress&) { return true; });
    record.outputs = outputs_of(study, solved.summary);
    record.status = RunStatus::done;
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
