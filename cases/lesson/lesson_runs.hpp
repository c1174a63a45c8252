#pragma once
// The runs of a lesson: made where they are not there yet.

#include <filesystem>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/run_settings.hpp"
#include "viz/files/result_reader.hpp"

namespace setstress {

/// The user asked to stop, while solving, meshing or drawing.
struct LessonStopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

class LessonRuns {
 public:
  /// Results go to `folder`/runs. `draws`: of the last chapter.
  LessonRuns(std::filesystem::path folder, RunSettings settings, int draws, bool quiet);

  /// A case of the lesson with the fineness asked for.
  [[nodiscard]] Case input(const std::string& name) const;
  /// Result folder of a case of the lesson; solved now unless a finished run of the same inputs by the same
  /// version is there. Throws LessonStopped, and as run_case.
  std::filesystem::path result_of(const std::string& name);
  std::vector<Result> results_of(const std::vector<std::string>& names);

  /// Where pictures and index.html go.
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
  [[nodiscard]] int draws() const { return draws_; }
  [[nodiscard]] bool quiet() const { return quiet_; }
  [[nodiscard]] int solved() const { return solved_; }  ///< runs made
  [[nodiscard]] int reused() const { return reused_; }  ///< runs found

 private:
  std::filesystem::path folder_;
  RunSettings settings_;
  int draws_;
  bool quiet_;
  InterruptGuard interrupt_;
  int solved_ = 0, reused_ = 0;
};

}  // namespace setstress
