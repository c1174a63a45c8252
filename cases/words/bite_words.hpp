#pragma once
// What a run says of its bites.

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace setstress {

/// Table by bite and what it leaves out, from the summary's "bites"; "" where there is none.
std::string bites_text(const nlohmann::ordered_json& summary);

}  // namespace setstress
