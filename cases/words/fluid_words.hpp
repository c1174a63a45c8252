#pragma once
// What is said of the fluid in gaps.

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace setstress {

/// By bite and gap, beside the published thresholds; empty where the run had no such fluid.
std::string fluid_text(const nlohmann::ordered_json& summary);

/// The gap that moves fluid fastest, one clause without a full stop; empty as above, and where no bite was.
std::string fluid_sentence(const nlohmann::ordered_json& summary);

}  // namespace setstress
