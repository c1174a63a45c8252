#pragma once
// What becomes of the largest gap, from the bond that lets go to the bite, a sentence a step.

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace setstress {

/// Lets go, enclosed or open, filled, pressed by each bite, and whether it ends open to the margin; of the
/// gap that is largest when the first bite begins. Empty where the bond could not let go or no bite began.
std::vector<std::string> story_sentences(const nlohmann::ordered_json& summary);

/// The same as a part of what `run` says; empty as above.
std::string story_text(const nlohmann::ordered_json& summary);

}  // namespace setstress
