#pragma once
// What can be known of a case without solving it.

#include <nlohmann/json.hpp>
#include <string>

#include "cases/file/case.hpp"

namespace setstress {

/// Volumes, wall areas by substrate, C-factor of every increment, timeline, light and cure, size of the mesh
/// and estimated time, warnings; units in the key names. `model` is `input`, posed.
nlohmann::ordered_json check_report(const Case& input, const Model& model);

/// The same for people.
std::string as_text(const nlohmann::ordered_json& check_report);

/// C-factors [-] of the whole filling and of each increment when placed, with bonded and free areas [mm2].
nlohmann::ordered_json c_factors(const Case& input, const Mesh& mesh);

/// The instants of a plan in order: increments placed, light on and off, end.
nlohmann::ordered_json timeline_of(const Plan& plan);

}  // namespace setstress
