#pragma once
// What was found out about why, in numbers, sentences and a chart.

#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/why/why.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// One sentence or two for each wall on which the plans clearly differ, or whose parts are clear though they
/// cancel; what "placing" stands for; what the mesh cannot give. In numbers that the mesh can give.
std::vector<std::string> why_sentences(const Why& why);

/// The same for people in a hurry: of the wall that differs most, or that has the largest part.
std::vector<std::string> why_in_brief(const Why& why);

/// Solves what it takes, telling on standard error first how much that is (`seconds_each` [s] a solution, as
/// far as known) and then how far it is; nothing where `quiet`. Empty where Ctrl-C stopped it. Throws as
/// WhyRuns.
std::optional<Why> find_why(const Case& first, const Case& second, std::optional<double> seconds_each,
                            bool quiet, const MadeRuns& made = {});

/// Writes why.json and, where there is anything to draw, why.svg. Throws std::runtime_error where a file
/// cannot be written.
void write_why(const Why& why, const std::filesystem::path& folder);

/// Every number, with its definition and the differences D(S) that it was made from.
nlohmann::ordered_json why_json(const Why& why);

/// A table a measure, walls down, causes across, for people; without the sentences.
std::string why_text(const Why& why);

/// Bars by wall and cause, of the first measure that the mesh can give; none where no wall has it.
std::vector<Chart> why_charts(const Why& why);

}  // namespace setstress
