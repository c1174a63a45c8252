#include "viz/pictures/told_numbers.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "viz/files/result_reader.hpp"
#include "viz/files/wall_table.hpp"
#include "viz/words/coarse_mesh.hpp"

namespace setstress {

namespace {

/// `bond` of summary.json; none where there is no such summary.
nlohmann::json rows_of_bond(const std::filesystem::path& folder) {
  std::ifstream file(folder / ResultLayout::summary);
  const auto summary = nlohmann::json::parse(file, nullptr, false);
  return summary.is_object() ? summary.value("bond", nlohmann::json::array()) : nlohmann::json::array();
}

}  // namespace

std::optional<ToldNumbers> told_numbers(const std::filesystem::path& folder, double time) {
  if (!std::filesystem::exists(folder / ResultLayout::walls)) return std::nullopt;
  const WallTable table(folder);
  if (!table.has("share_of_whole_at_strength")) return std::nullopt;
  const double nine_digits = 1e-6 * std::max(1.0, std::abs(time));  // what the table holds of it
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (table.text(row, "wall") != "all" || table.text(row, "substrate") != "all") continue;
    if (std::abs(table.number(row, "time_s").value() - time) > nine_digits) continue;
    const auto number = [&](const char* column) { return table.number(row, column).value_or(0); };
    return ToldNumbers{.at_strength = number("share_of_whole_at_strength"),
                       .debonded = number("share_of_whole_debonded"),
                       .largest_gap = number("largest_gap_um")};
  }
  return std::nullopt;
}

bool told_too_coarse(const std::filesystem::path& folder) {
  for (const auto& row : rows_of_bond(folder))
    if (row.value("wall", "") != "all" && row.value("substrate", "") == "all" &&
        row.value("averaging_points_mean", fewest_averaging_points) < fewest_averaging_points)
      return true;
  return false;
}

std::optional<double> told_worst_time(const std::filesystem::path& folder) {
  for (const auto& row : rows_of_bond(folder))
    if (row.value("wall", "") == "all" && row.value("substrate", "") == "all" && row.contains("worst"))
      return row.at("worst").at("time_s").get<double>();
  return std::nullopt;
}

}  // namespace setstress
