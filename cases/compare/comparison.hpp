#pragma once
// What two or more results do differently, in numbers and in words. The direction is never presumed.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace setstress {

/// Compares summaries (as written by run; see summary.hpp) to the first of them. Throws CaseError where they
/// cannot be compared (one intact, one debonding).
nlohmann::ordered_json compare_summaries(const std::vector<nlohmann::ordered_json>& summaries);

/// Table and sentences for people.
std::string comparison_text(const nlohmann::ordered_json& comparison);

}  // namespace setstress
