#include "cases/lesson/lesson_runs.hpp"

#include <fmt/format.h>

#include <fstream>

#include "cases/reader/data_folder.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/run/runner.hpp"

namespace setstress {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

/// Whether `folder` holds a finished run of just these inputs by this version.
bool is_run_of(const Case& input, const fs::path& folder) {
  std::ifstream file(folder / ResultLayout::manifest);
  const ordered_json manifest = ordered_json::parse(file, nullptr, false);
  if (!manifest.is_object() || !manifest.value("finished", false)) return false;
  return manifest.value("version", "") == SETSTRESS_VERSION &&
         manifest.value("inputs", ordered_json()) == input.source.resolved() &&
         manifest.value("materials", ordered_json()) == input.materials.provenance &&
         manifest.value("mesh", ordered_json::object()).value("size_at_bond_mm", 0.0) == input.mesh_size.bond;
}

}  // namespace

LessonRuns::LessonRuns(fs::path folder, RunSettings settings, int draws, bool quiet)
    : folder_(std::move(folder)), settings_(std::move(settings)), draws_(draws), quiet_(quiet) {
  if (!settings_.fineness) settings_.fineness = "standard";
}

Case LessonRuns::input(const std::string& name) const {
  return case_for((data_folder() / "cases" / "ready" / "lesson" / (name + ".toml")).string(), settings_);
}

fs::path LessonRuns::result_of(const std::string& name) {
  const Case input = this->input(name);
  const fs::path out = folder_ / "runs" / name;
  if (interrupt_.asked_to_stop()) throw LessonStopped("stopped as asked");
  if (is_run_of(input, out)) {
    ++reused_;
    return out;
  }
  if (!run_case(input, out, quiet_).finished) throw LessonStopped("stopped as asked");
  ++solved_;
  return out;
}

std::vector<Result> LessonRuns::results_of(const std::vector<std::string>& names) {
  std::vector<Result> results;
  for (const std::string& name : names) results.push_back(read_result(result_of(name)));
  return results;
}

}  // namespace setstress
