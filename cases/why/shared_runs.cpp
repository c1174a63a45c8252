#include "cases/why/shared_runs.hpp"

#include <algorithm>
#include <memory>
#include <optional>

#include "cases/pose/pose.hpp"
#include "cases/study/design/mesh_key.hpp"
#include "solver/run/shared_mesh.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

bool fits(const SharedMesh& shared, const Model& model) {
  try {
    shared.require_fits(model);
    return true;
  } catch (const std::invalid_argument&) {  // the same mesh on other springs
    return false;
  }
}

bool one_solution(const Model& a, const SolveOptions& of_a, const Model& b, const SolveOptions& of_b) {
  return of_a.mode == Mode::intact && of_b.mode == Mode::intact &&
         IntactInputs(a, of_a) == IntactInputs(b, of_b);
}

}  // namespace

SharedRuns::SharedRuns(std::vector<Case> cases, MadeRuns made) {
  for (Case& input : cases) add(std::move(input));
  for (std::size_t r = 0; r < runs_.size(); ++r) {
    const auto group = std::ranges::find_if(groups_, [&](const std::vector<std::size_t>& members) {
      const Run &first = runs_[members.front()], &run = runs_[r];
      return first.mesh == run.mesh &&
             one_solution(first.model, first.input.solver, run.model, run.input.solver);
    });
    if (group == groups_.end())
      groups_.push_back({r});
    else
      group->push_back(r);
  }
  std::ranges::stable_sort(groups_, {}, [&](const auto& members) { return runs_[members.front()].mesh; });
  for (const std::vector<std::size_t>& members : groups_) {
    const Run& first = runs_[members.front()];
    const auto serves = [&](const KeptRun* run) { return run->serves(first.input, whole_model(first)); };
    const auto found =
        first.input.solver.mode == Mode::intact ? std::ranges::find_if(made, serves) : made.end();
    made_.push_back(found == made.end() ? nullptr : *found);
    if (made_.back() == nullptr) ++solutions_;
  }
}

std::size_t SharedRuns::mesh_for(const Case& input) {
  const std::string key = mesh_key(input);
  const auto found = std::ranges::find(keys_, key);
  if (found != keys_.end()) return static_cast<std::size_t>(found - keys_.begin());
  meshes_.push_back(setstress::mesh_of(input));
  keys_.push_back(key);
  return meshes_.size() - 1;
}

void SharedRuns::add(Case input) {
  const std::size_t mesh = mesh_for(input);
  Model model = pose(input, meshes_[mesh]);
  model.mesh = {};
  const auto same = std::ranges::find_if(runs_, [&](const Run& run) {
    return run.mesh == mesh && run.model == model && run.input.solver == input.solver;
  });
  of_case_.push_back(static_cast<std::size_t>(same - runs_.begin()));
  if (same == runs_.end()) runs_.push_back({std::move(input), std::move(model), mesh});
}

const Mesh& SharedRuns::mesh_of(std::size_t which) const {
  return meshes_[runs_[of_case_.at(which)].mesh];
}

Model SharedRuns::whole_model(const Run& run) const {
  Model model = run.model;
  model.mesh = meshes_[run.mesh];
  return model;
}

std::vector<ordered_json> SharedRuns::summaries(const Watch& watch) const {
  std::vector<ordered_json> by_run(runs_.size());
  const auto judge = [&](const KeptRun& kept, const std::vector<std::size_t>& members) {
    for (const std::size_t member : members)
      by_run[member] = kept.judged(runs_[member].input, whole_model(runs_[member])).summary;
  };
  std::optional<std::size_t> mesh;
  std::unique_ptr<const SharedMesh> shared;
  int solved = 0;
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    if (made_[g] != nullptr) {
      judge(*made_[g], groups_[g]);
      continue;
    }
    const Run& first = runs_[groups_[g].front()];
    const Model model = whole_model(first);
    if (mesh != first.mesh || !fits(*shared, model)) shared = std::make_unique<const SharedMesh>(model);
    mesh = first.mesh;
    const auto step = [&](const Frame&, const HistoryEntry&, const Progress& at) {
      return watch((solved + at.fraction) / solutions_, solved);
    };
    const auto require_end = [](const SolvedCase& ended) {
      if (!ended.outcome.finished) throw RunsStopped("stopped as asked");
    };
    if (first.input.solver.mode == Mode::debonding) {
      SolvedCase ended = solve_case(first.input, model, step, *shared);
      require_end(ended);
      by_run[groups_[g].front()] = std::move(ended.summary);
    } else {
      const KeptRun kept(first.input, model, *shared, step);
      require_end(kept.first());
      judge(kept, groups_[g]);
    }
    ++solved;
  }
  std::vector<ordered_json> by_case;
  for (const std::size_t run : of_case_) by_case.push_back(by_run[run]);
  return by_case;
}

}  // namespace setstress
