#pragma once
// Settings of one run that stand above those of its case file.

#include <optional>
#include <string>

#include "cases/file/case.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

struct RunSettings {
  std::optional<Mode> mode;
  std::optional<std::string> fineness;  ///< "coarse", "standard", "fine" or a size [mm]
  std::optional<LinearSolver> solver;
  bool force = false;  ///< run beyond this machine's memory
  int threads = 0;     ///< 0: all cores
  bool quiet = false;  ///< says nothing of what takes long before the first step
};

/// Reads a case by path or ready-made name and puts these settings above its own.
Case case_for(const std::string& name_or_path, const RunSettings& settings);

}  // namespace setstress
