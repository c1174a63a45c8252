#include "cases/study/runs/outputs_check.hpp"

#include <fmt/format.h>

#include <set>

#include "cases/pose/pose.hpp"
#include "cases/result/gap_report.hpp"
#include "cases/result/summary.hpp"
#include "cases/study/design/mesh_key.hpp"
#include "solver/report/bite_report.hpp"
#include "solver/run/schedule.hpp"

namespace setstress {

namespace {

/// Everything placed, nothing moved, nothing cured.
Frame blank_frame(const Model& model, const Event& event) {
  Frame frame;
  frame.time = event.time;
  frame.event = event.label;
  frame.placed.assign(model.mesh.regions.size(), 1);
  frame.displacement = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(3 * model.mesh.nodes.size()));
  frame.stress.resize(model.mesh.tetrahedra.size());
  for (auto& points : frame.stress) points.fill(Vector6d::Zero());
  frame.conversion.resize(model.mesh.tetrahedra.size());
  frame.bond.resize(model.mesh.bond.size());
  for (auto& points : frame.bond)
    for (BondPoint& point : points) point.active = true;
  frame.reactions.assign(model.fixed.size(), Eigen::Vector3d::Zero());
  return frame;
}

/// With the whole bond as one gap, so that a gap's keys can be looked up, too.
nlohmann::ordered_json blank_gaps(const Case& input, const Model& model) {
  GapReport gaps(model, input.gap_threshold);
  for (const Event& event : schedule(model.timeline)) {
    if (event.label.empty()) continue;
    Frame frame = blank_frame(model, event);
    for (auto& points : frame.bond)
      for (BondPoint& point : points) point.strength_lost = 1;
    gaps.add(frame);
  }
  return gaps.json();
}

nlohmann::ordered_json blank_summary(const Case& input, const Model& model) {
  const WallReport walls(model.mesh, model.substrates);
  const CureReport cure(model.mesh, model.timeline, LightPaths(model.mesh));
  const CuspReport cusps(model.mesh);
  Instruments instruments(input, model);
  BiteReport bites(model);
  History history;
  for (const Event& event : schedule(model.timeline)) {
    if (event.label.empty()) continue;
    const Frame frame = blank_frame(model, event);
    history.push_back(history_entry(model, {walls, cure, cusps, instruments}, frame));
    history.back().bite = bites.of(frame);
  }
  nlohmann::ordered_json summary = summarise(input, model, history, 0, true);
  if (input.solver.mode == Mode::debonding && !model.mesh.bond.empty())
    summary["gaps"] = blank_gaps(input, model);
  return summary;
}

Mesh mesh_for(const Case& input, const MeshCache& meshes) {
  const std::string key = mesh_key(input);
  if (auto kept = meshes.find(key)) return std::move(*kept);
  Mesh mesh = mesh_of(input);
  meshes.keep(key, mesh);
  return mesh;
}

/// What is wrong with the first output that the summary of `input` does not have; empty for nothing.
std::string missing_output(const Study& study, const Case& input, const MeshCache& meshes) {
  const nlohmann::ordered_json summary = blank_summary(input, pose(input, mesh_for(input, meshes)));
  for (const Output& output : study.outputs) {
    try {
      (void)value_at(summary, output.path);
    } catch (const std::out_of_range& error) {
      return fmt::format("{}: output {} is \"{}\": {}",
                         output.place.empty() ? study.file.string() : output.place, output.name, output.path,
                         error.what());
    }
  }
  return "";
}

}  // namespace

void require_outputs(const Study& study, const StudyPlan& plan, const MeshCache& meshes) {
  constexpr std::size_t most_shapes = 5;
  std::set<std::string> seen;
  std::string missing;
  for (const StudyRow& row : plan.rows) {
    try {
      if (!seen.insert(mesh_hint(study, row)).second) continue;
      const std::string here = missing_output(study, case_of(study, row), meshes);
      if (here.empty()) return;
      if (missing.empty()) missing = here;
    } catch (const CaseError&) {  // told with its row when that is made
    }
    if (seen.size() >= most_shapes) break;
  }
  if (!missing.empty()) throw CaseError(missing);
}

}  // namespace setstress
