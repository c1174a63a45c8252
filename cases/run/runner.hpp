#pragma once
// One case from reading to result folder.

#include <filesystem>
#include <functional>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/result/history.hpp"
#include "cases/run/profile.hpp"

namespace setstress {

/// A case solved, in numbers.
struct SolvedCase {
  History history;  ///< every step
  Outcome outcome;
  nlohmann::ordered_json summary;  ///< as in summary.json
  std::string gaps_table = {};     ///< gaps.csv; empty where the bond was assumed to hold
  std::string fluid_table = {};    ///< gap_fluid.csv; empty where gaps hold none
  double statistics_seconds = 0;   ///< spent on `history`
};

/// Sees every step; false stops the run after it.
using StepWatch = std::function<bool(const Frame& frame, const HistoryEntry& entry, const Progress& at)>;

/// Solves `input`, posed as `model`, and writes nothing. Throws SolveError or std::runtime_error where the
/// run fails.
SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch);
/// The same, to the last bit, for one of many runs on one mesh.
SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch,
                      const SharedMesh& shared);

/// For the chances that walls start to fail in a run of `input`, posed as `model`; empty where the bond may
/// let go or its strength varies already.
std::optional<WeakestLinks> weakest_links(const Case& input, const Model& model);

class KeptRun;  // kept_run.hpp

struct RunReport {
  nlohmann::ordered_json summary;
  std::filesystem::path folder;
  Profile profile;
  std::vector<std::string> warnings;
  bool finished = true;  ///< false: stopped by Ctrl-C; what was written is whole and readable
};

/// Solves `input` and writes the result folder `out`: frames, walls.csv, energies.csv, holds.csv, gaps.csv
/// (debonding), summary.json, bond.png, manifest.json. Throws CaseError where the input or `out` is at fault,
/// SolveError or std::runtime_error where the run fails; no folder is left then.
RunReport run_case(const Case& input, const std::filesystem::path& out, bool quiet);
/// The same; an intact run that came to its end is kept in `kept` for cases that it may serve.
RunReport run_case(const Case& input, const std::filesystem::path& out, bool quiet,
                   std::unique_ptr<KeptRun>& kept);

}  // namespace setstress
