#pragma once
// A summary for people: by wall, how high the load was, when, and how it ended.

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace setstress {

std::string summary_text(const nlohmann::ordered_json& summary);

}  // namespace setstress
