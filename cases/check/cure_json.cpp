#include "cases/check/cure_json.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double room_for_rounding = 0.01;  // of a thickness [mm]

ordered_json or_null(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

bool is_under_cured(const TopAndBottom& c) {
  return !(c.bottom_over_top() >= least_bottom_over_top) || c.top < least_top;
}

ordered_json increment_json(const Case& input, const IncrementCure& cure, bool finished) {
  const std::string& name = input.plan.materials.at(static_cast<std::size_t>(cure.increment));
  const Composite& composite = input.materials.composites.at(name);
  const double allowed = composite.increment_depth, limit = composite.cure.limiting_conversion;
  ordered_json json{{"increment", cure.increment + 1},
                    {"composite", name},
                    {"thickness_mm", cure.thickness},
                    {"depth_mm", cure.depth},
                    {"class_depth_mm", allowed > 0 ? ordered_json(allowed) : ordered_json(nullptr)},
                    {"conversion_least", or_null(cure.least)},
                    {"conversion_p05", or_null(cure.p05)},
                    {"conversion_mean", or_null(cure.mean)},
                    {"conversion_top", or_null(cure.along_light.top)},
                    {"conversion_bottom", or_null(cure.along_light.bottom)},
                    {"bottom_over_top", or_null(cure.along_light.bottom_over_top())},
                    {"double_bonds_converted_mean", or_null(limit * cure.mean)},
                    {"double_bonds_converted_top", or_null(limit * cure.along_light.top)},
                    {"double_bonds_converted_bottom", or_null(limit * cure.along_light.bottom)}};
  json["too_thick"] = allowed > 0 && cure.depth > allowed + room_for_rounding;
  json["under_cured"] =
      finished && cure.placed ? ordered_json(is_under_cured(cure.along_light)) : ordered_json(nullptr);
  return json;
}

/// Conversion where the filling is lit best [-].
double best_top(const std::vector<IncrementCure>& increments) {
  double best = 0;
  for (const IncrementCure& cure : increments)
    if (cure.placed) best = std::max(best, cure.along_light.top);
  return best;
}

bool is_true(const ordered_json& value) {
  return value.is_boolean() && value.get<bool>();
}

/// In hundredths, rounded as in the tables beside it; cut off where rounding would reach the limit that it is
/// below.
std::string below(double limit, const ordered_json& value) {
  const double rounded = std::round(100 * value.get<double>()) / 100;
  return fmt::format("{:.2f}", rounded < limit ? rounded : std::floor(100 * value.get<double>()) / 100);
}

/// "floor", "axial wall"
std::string spoken_wall(const std::string& wall) {
  for (const char* noun : {"floor", "wall", "bond"})
    if (wall.ends_with(noun)) return wall;
  return wall + " wall";
}

/// What the conversion beside a wall should reach, of the tops that are told.
double enough_beside_walls(double highest_top) {
  return least_bottom_over_top * std::max(highest_top, least_top);
}

std::string increment_words(const ordered_json& row) {
  const int increment = row.at("increment").get<int>();
  if (row.at("conversion_top").get<double>() < least_top)
    return fmt::format("increment {} reaches {} even at its top", increment,
                       below(least_top, row.at("conversion_top")));
  return fmt::format("the bottom of increment {} reaches {} of its top", increment,
                     below(least_bottom_over_top, row.at("bottom_over_top")));
}

std::string number_text(const ordered_json& value) {
  return value.is_number() ? fmt::format("{:.2f}", value.get<double>()) : "-";
}

std::string beside_walls_text(const ordered_json& cure) {
  std::vector<std::string> words;
  for (const ordered_json& row : cure.at("walls"))
    if (row.at("wall") != "all")
      words.push_back(fmt::format("{} {} ({})", row.at("wall").get<std::string>(),
                                  number_text(row.at("conversion_mean")),
                                  number_text(row.at("conversion_p05"))));
  return words.empty() ? ""
                       : fmt::format("  beside the walls, mean (95 % of the area is above): {}\n",
                                     fmt::join(words, ", "));
}

}  // namespace

ordered_json cure_json(const Case& input, const std::vector<IncrementCure>& increments,
                       const std::vector<WallRow>& rows, bool finished) {
  ordered_json json{{"conversion", "relative [-]: share of what the composite can reach"},
                    {"under_cured_below_bottom_over_top", least_bottom_over_top},
                    {"under_cured_below_top", least_top},
                    {"increments", ordered_json::array()},
                    {"walls", ordered_json::array()}};
  for (const IncrementCure& cure : increments)
    json["increments"].push_back(increment_json(input, cure, finished));
  const double enough = enough_beside_walls(best_top(increments));
  for (const WallRow& row : rows) {
    if (row.substrate) continue;
    const BondStatistics& s = row.statistics;
    ordered_json under = nullptr;
    if (finished && s.placed_area > 0) under = s.conversion_mean < enough;
    json["walls"].push_back({{"wall", row.wall.empty() ? "all" : row.wall},
                             {"conversion_mean", or_null(s.conversion_mean)},
                             {"conversion_p05", or_null(s.conversion_p05)},
                             {"under_cured", under}});
  }
  return json;
}

UnderCure under_cure_of(const ordered_json& summary) {
  UnderCure found;
  if (!summary.contains("cure")) return found;
  std::vector<std::string> words;
  double highest_top = 0;
  for (const ordered_json& row : summary["cure"].at("increments")) {
    if (row.at("conversion_top").is_number())
      highest_top = std::max(highest_top, row.at("conversion_top").get<double>());
    found.known = found.known || row.at("under_cured").is_boolean();
    if (!is_true(row.at("under_cured"))) continue;
    found.increments.push_back(row.at("increment").get<int>());
    words.push_back(increment_words(row));
  }
  for (const ordered_json& row : summary["cure"].at("walls")) {
    if (!is_true(row.at("under_cured")) || row.at("wall") == "all") continue;
    found.walls.push_back(row.at("wall").get<std::string>());
    words.push_back(fmt::format("beside the {} conversion is {}", spoken_wall(found.walls.back()),
                                below(enough_beside_walls(highest_top), row.at("conversion_mean"))));
  }
  if (!words.empty())
    found.sentence = fmt::format(
        "under-cured at the end of the plan (relative conversion; a bottom should reach {:g} of its top): "
        "{}; "
        "the stress there is low for the wrong reason: the paste has not set through",
        least_bottom_over_top, fmt::join(words, ", "));
  return found;
}

std::vector<std::string> cure_warnings(const ordered_json& summary) {
  std::vector<std::string> warnings;
  if (!summary.contains("cure")) return warnings;
  for (const ordered_json& row : summary["cure"].at("increments"))
    if (is_true(row.at("too_thick")))
      warnings.push_back(
          fmt::format("increment {} is {:.2f} mm thick along its light; its class, {}, is for increments of "
                      "up to {:g} mm",
                      row.at("increment").get<int>(), row.at("depth_mm").get<double>(),
                      row.at("composite").get<std::string>(), row.at("class_depth_mm").get<double>()));
  if (const UnderCure under = under_cure_of(summary); under.found()) warnings.push_back(under.sentence);
  return warnings;
}

std::string cure_text(const ordered_json& summary) {
  if (!summary.contains("cure") || summary["cure"].at("increments").empty()) return "";
  const ordered_json& cure = summary["cure"];
  const bool with_light = cure["increments"][0].contains("lit_s");
  std::string text = fmt::format(
      "Cure {}: relative conversion, the share of what the composite can reach [-]\n"
      "  {:<16}{:>9}{:>8}{:>8}{:>8}{:>12}{}\n",
      summary.value("reached_the_end", true) ? "at the end" : "where the run was stopped", "", "depth mm",
      "top", "bottom", "mean", "bottom/top",
      with_light ? fmt::format("{:>22}{:>20}", "mW/cm2 top, bottom", "J/cm2 top, bottom") : "");
  for (const ordered_json& row : cure["increments"]) {
    text +=
        fmt::format("  {:<16}{:>9.2f}{:>8}{:>8}{:>8}{:>12}",
                    fmt::format("increment {}", row["increment"].get<int>()), row["depth_mm"].get<double>(),
                    number_text(row["conversion_top"]), number_text(row["conversion_bottom"]),
                    number_text(row["conversion_mean"]), number_text(row["bottom_over_top"]));
    if (with_light)
      text += fmt::format("{:>14.0f},{:>7.1f}{:>12.2f},{:>7.3f}", row["irradiance_top_mW_cm2"].get<double>(),
                          row["irradiance_bottom_mW_cm2"].get<double>(),
                          row["radiant_exposure_top_J_cm2"].get<double>(),
                          row["radiant_exposure_bottom_J_cm2"].get<double>());
    text += '\n';
  }
  text += beside_walls_text(cure);
  for (const std::string& warning : cure_warnings(summary)) text += fmt::format("  Note: {}\n", warning);
  return text;
}

}  // namespace setstress
