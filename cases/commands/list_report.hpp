#pragma once
// Ready-made cases, material classes with every source, laws, outputs: what `setstress list` says.

#include <nlohmann/json.hpp>

namespace setstress {

nlohmann::ordered_json list_report();

}  // namespace setstress
