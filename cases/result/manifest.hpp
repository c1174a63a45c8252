#pragma once
// manifest.json: where a result comes from, so that it can be judged and made again.

#include <nlohmann/json.hpp>

#include "cases/file/case.hpp"

namespace setstress {

/// Program and version, inputs as resolved (each value with file and line, or "default"), materials with the
/// source of each value, mesh size, solver settings, timings, warnings, and whether the run was interrupted.
nlohmann::ordered_json manifest_of(const Case& input, const Mesh& mesh, const Outcome& outcome);

}  // namespace setstress
