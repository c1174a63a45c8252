#pragma once
// What cure has to do with a difference between two results: paste that has not set through pulls less, and
// that must not pass for a better plan.

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cases/compare/verdict.hpp"

namespace setstress {

/// One sentence for each wall beside which the paste has set otherwise by more than 0.05 of conversion, or on
/// either side less than 0.9 of what the top has; none where cure is not known.
std::vector<std::string> cure_sentences(const ComparedSide& a, const ComparedSide& b, bool debonding);

/// Highest conversion of the top of an increment [-]; empty where the summary knows none.
std::optional<double> top_conversion(const nlohmann::ordered_json& summary);

/// Irradiance times duration of the exposures of a timeline, in turn [J/cm2]: "40", "4 x 20", "20, 40"; "-"
/// for none.
std::string exposures_text(const nlohmann::ordered_json& timeline);

}  // namespace setstress
