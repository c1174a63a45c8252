#pragma once
// What two or more results do differently, in numbers and in words. The direction is never presumed.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/compare/what_differs.hpp"

namespace setstress {

/// Throws CaseError for a run that was stopped before its end: half of a history has no worst instant and no
/// end to set beside those of a whole one. Or for one of an earlier setstress, which lacks what is compared.
void require_comparable(const nlohmann::ordered_json& summary);

/// Compares results to the first of them. Throws CaseError where they cannot be compared: one intact, one
/// debonding, or one that require_comparable refuses.
nlohmann::ordered_json compare_results(const std::vector<ResultRecord>& results);

/// Table and sentences for people; under "answers" of the comparison may stand what was asked besides,
/// {"title": "Why", "sentences": [...]} each.
std::string comparison_text(const nlohmann::ordered_json& comparison);
/// What differs in a few lines.
std::string comparison_in_brief(const nlohmann::ordered_json& comparison);

}  // namespace setstress
