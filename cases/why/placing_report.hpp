#pragma once
// What was found out about placing, in numbers, sentences and charts.

#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/why/placing.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// For each wall that is loaded at all, when its mean ratio is highest and which increments bring that.
std::vector<std::string> placing_sentences(const std::vector<Placing>& plans);

/// Increments, then by wall their shares and when they come, for people; without the sentences.
std::string placing_text(const std::vector<Placing>& plans);

/// Every number, with its definition, also over time.
nlohmann::ordered_json placing_json(const std::vector<Placing>& plans);

/// Of the highest mean ratio of each wall what each increment brings, a bar a wall and plan; then of each
/// plan what each increment pulls over time on the wall whose mean ratio comes highest. None where no wall is
/// ever filled as a whole.
std::vector<Chart> placing_charts(const std::vector<Placing>& plans);

/// Solves what it takes, telling on standard error first how much that is (`seconds_each` [s] a solution, as
/// far as known) and then how far it is; nothing where `quiet`. Empty where Ctrl-C stopped it. Throws as
/// PlacingRuns.
std::optional<std::vector<Placing>> find_placing(const Case& first, const Case& second,
                                                 std::optional<double> seconds_each, bool quiet,
                                                 const MadeRuns& made = {});

/// Writes placing.json, placing.svg, and placing-1.svg and placing-2.svg over time. Throws
/// std::runtime_error where a file cannot be written.
void write_placing(const std::vector<Placing>& plans, const std::filesystem::path& folder);

}  // namespace setstress
