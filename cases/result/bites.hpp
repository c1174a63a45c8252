#pragma once
// What bites did, as a table and as a part of the summary.

#include <nlohmann/json.hpp>
#include <string>

#include "cases/result/history.hpp"

namespace setstress {

inline constexpr const char* bites_table_name = "bites.csv";

/// One line an instant from the first bite on, as comma-separated values with units in the heading.
std::string bites_table(const History& history);

/// What every output that shows a bite must say with it.
inline constexpr const char* bites_leave_out =
    "Quasi-static: no fatigue, no friction in closed cracks, no slide of the opposing tooth, no uptake of "
    "water, "
    "no flow inside gaps, no bacteria. Numbers say nothing about what a person feels or how long a filling "
    "lasts.";

/// By bite: force, patch, and the bond by wall before, at full force and after it.
nlohmann::ordered_json bites_json(const Model& model, const History& history);

}  // namespace setstress
