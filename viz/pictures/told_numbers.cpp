#include "viz/pictures/told_numbers.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress {

namespace {

/// Cells of a line; commas inside quotes do not part them.
std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char letter : line) {
    if (letter == '"')
      quoted = !quoted;
    else if (letter == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += letter;
  }
  return cells;
}

using Row = std::map<std::string, std::string>;  ///< by name of the column

Row named(const std::vector<std::string>& heads, const std::vector<std::string>& cells) {
  Row row;
  for (std::size_t i = 0; i < std::min(heads.size(), cells.size()); ++i) row[heads[i]] = cells[i];
  return row;
}

bool is_at(double one, double other) {
  return std::abs(one - other) <= 1e-6 * std::max(1.0, std::abs(other));  // tables hold nine digits
}

double number(const Row& row, const char* column) {
  const std::string& text = row.at(column);
  return text.empty() ? 0 : std::stod(text);
}

}  // namespace

std::optional<ToldNumbers> told_numbers(const std::filesystem::path& folder, double time) {
  std::ifstream table(folder / ResultLayout::walls);
  std::string line;
  if (!std::getline(table, line)) return std::nullopt;
  const std::vector<std::string> heads = cells_of(line);
  if (std::ranges::find(heads, "share_of_whole_at_strength") == heads.end()) return std::nullopt;
  while (std::getline(table, line)) {
    const Row row = named(heads, cells_of(line));
    if (row.size() < heads.size() || row.at("wall") != "all" || row.at("substrate") != "all") continue;
    if (!is_at(number(row, "time_s"), time)) continue;
    return ToldNumbers{.at_strength = number(row, "share_of_whole_at_strength"),
                       .debonded = number(row, "share_of_whole_debonded"),
                       .largest_gap = number(row, "largest_gap_um")};
  }
  return std::nullopt;
}

std::optional<double> told_worst_time(const std::filesystem::path& folder) {
  std::ifstream file(folder / ResultLayout::summary);
  const auto summary = nlohmann::json::parse(file, nullptr, false);
  if (!summary.is_object() || !summary.contains("bond")) return std::nullopt;
  for (const auto& row : summary.at("bond"))
    if (row.value("wall", "") == "all" && row.value("substrate", "") == "all" && row.contains("worst"))
      return row.at("worst").at("time_s").get<double>();
  return std::nullopt;
}

}  // namespace setstress
