#pragma once
// manifest.json: where a result comes from, so that it can be judged and made again.

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cases/file/case.hpp"

namespace setstress {

/// Program and version, the files it was made of with checksums, inputs as resolved (each value with file and
/// line, "command line" or "default"), materials with the source of each value, mesh size, solver settings,
/// timings, warnings, and whether the run was interrupted.
nlohmann::ordered_json manifest_of(const Case& input, const Mesh& mesh, const Outcome& outcome);

/// The manifest in a result folder. Throws CaseError where there is none, it cannot be read or it is not that
/// of a run.
nlohmann::ordered_json read_manifest(const std::filesystem::path& folder);

}  // namespace setstress
