#pragma once
// The gaps that a run ends with, in words.

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace setstress {

/// Lines on the largest gaps at the end of a debonding run; "" of a summary without them.
std::string gaps_text(const nlohmann::ordered_json& summary);
/// The same in one sentence, of the largest; "" of a summary without gaps.
std::string gap_sentence(const nlohmann::ordered_json& summary);

}  // namespace setstress
