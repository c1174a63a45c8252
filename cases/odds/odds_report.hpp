#pragma once
// Odds in numbers, sentences and charts.

#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cases/odds/judged_odds.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// How many draws, what could not be made, what was cut; then by wall in how many draws the second plan is
/// lower, by how much, what decides, where the sign turns. In the first measure that the meshes can give.
std::vector<std::string> odds_sentences(const JudgedOdds& judged);

/// Tables for people, without the sentences.
std::string odds_text(const JudgedOdds& judged);

/// Of the wall that differs most.
std::vector<std::string> odds_in_brief(const JudgedOdds& judged);

/// Every number but the draws themselves.
nlohmann::ordered_json odds_json(const JudgedOdds& judged);

/// One line a draw, as comma-separated values with a heading: inputs, then the numbers of both plans.
std::string odds_table(const JudgedOdds& judged);

/// In what share of the draws the second plan is lower, with intervals, by wall; then second minus first,
/// median and 5 to 95 % of the draws. None where no draw has numbers.
std::vector<Chart> odds_charts(const JudgedOdds& judged);

/// Writes odds.json, odds.csv, odds.svg and odds-difference.svg. Throws std::runtime_error where a file
/// cannot be written.
void write_odds(const JudgedOdds& judged, const std::filesystem::path& folder);

}  // namespace setstress
