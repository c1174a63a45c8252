#pragma once
// Values that a case gives and that change no result: a study over them would show "no effect" for a cause
// that is none.

#include <optional>
#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// One sentence each, with its place.
std::vector<std::string> unused_values(const Case& input, const Mesh& mesh);

/// Why no result depends on the key of a case file, for example
/// "materials.override.flowable.tensile_strength"; empty where one may.
std::optional<std::string> why_unused(const std::string& dotted_key, Mode mode);

/// What the plan and the values of a case should make its user look at, sentences.
std::vector<std::string> notes_on(const Case& input, const Mesh& mesh);

}  // namespace setstress
