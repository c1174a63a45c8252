#pragma once
// Light and cure of a case, without solving it.

#include <nlohmann/json.hpp>

#include "cases/file/case.hpp"

namespace setstress {

/// As cure_json() at the end of the plan, and for every increment the light of its own exposures: how long it
/// is lit [s], mean irradiance while it is [mW/cm2] and radiant exposure [J/cm2], at its top and at its
/// bottom; zero where it has none. `model` is `input`, posed.
nlohmann::ordered_json cure_without_solving(const Case& input, const Model& model);

}  // namespace setstress
