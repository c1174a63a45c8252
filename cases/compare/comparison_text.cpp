#include <fmt/format.h>

#include <algorithm>

#include "cases/compare/comparison.hpp"
#include "cases/words/bond_words.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr int name_width = 34, column_width = 22;

std::string row_text(const std::string& name, const std::vector<std::string>& cells) {
  std::string text = fmt::format("{:<{}}", name, name_width);
  for (const std::string& cell : cells) text += fmt::format("  {:>{}}", cell, column_width);
  return text + "\n";
}

/// One row of the table; `cell` takes a result.
template <class Cell>
std::string row_of(const ordered_json& comparison, const std::string& name, Cell cell) {
  std::vector<std::string> cells;
  for (const ordered_json& result : comparison.at("results")) cells.push_back(cell(result));
  return row_text(name, cells);
}

/// Names of walls of any result, in the order in which they come, the whole bond last.
std::vector<std::string> walls_of(const ordered_json& comparison) {
  std::vector<std::string> walls;
  for (const ordered_json& result : comparison.at("results"))
    for (const auto& entry : result.at("bond").items())
      if (entry.key() != "all" && std::ranges::find(walls, entry.key()) == walls.end())
        walls.push_back(entry.key());
  walls.emplace_back("all");
  return walls;
}

/// "-" for a wall that is not there, or has no number; "~" before one that the mesh is too coarse for.
template <class Text>
std::string wall_cell(const ordered_json& result, const std::string& wall, const char* key, Text text) {
  if (!result.at("bond").contains(wall)) return "-";
  const ordered_json& numbers = result.at("bond").at(wall);
  if (numbers.at(key).is_null()) return "-";
  return (result.at("too_coarse_for_percentiles").get<bool>() ? "~" : "") + text(numbers);
}

/// A heading, then a row a wall.
template <class Text>
std::string block(const ordered_json& comparison, const char* heading, const char* key, Text text) {
  std::string table = std::string(heading) + "\n";
  for (const std::string& wall : walls_of(comparison)) {
    const std::string name = wall == "all" ? "whole bond" : wall;
    table += row_of(comparison, "  " + name,
                    [&](const ordered_json& result) { return wall_cell(result, wall, key, text); });
  }
  return table;
}

std::string at(const std::string& value, const ordered_json& time) {
  return fmt::format("{} at {}", value, duration_text(time.get<double>()));
}

std::string share_block(const ordered_json& comparison, const char* heading, const char* key) {
  return block(comparison, heading, key, [key](const ordered_json& wall) {
    return fmt::format("{:.0f} %", 100 * wall.at(key).get<double>());
  });
}

bool any_wall_has(const ordered_json& comparison, const char* key) {
  return std::ranges::any_of(comparison.at("results"), [key](const ordered_json& result) {
    return std::ranges::any_of(result.at("bond"),
                               [key](const ordered_json& wall) { return !wall.at(key).is_null(); });
  });
}

/// Of what is known on coarse meshes as well, so without "~". Nothing where no result knows it.
template <class Text>
std::string block_without_doubt(const ordered_json& comparison, const char* heading, const char* key,
                                Text text) {
  if (!any_wall_has(comparison, key)) return "";
  std::string table = std::string(heading) + "\n";
  for (const std::string& wall : walls_of(comparison))
    table += row_of(comparison, "  " + (wall == "all" ? "whole bond" : wall),
                    [&](const ordered_json& result) -> std::string {
                      const ordered_json& walls = result.at("bond");
                      if (!walls.contains(wall) || walls.at(wall).at(key).is_null()) return "-";
                      return text(walls.at(wall).at(key).get<double>());
                    });
  return table;
}

std::string energy_block(const ordered_json& comparison) {
  return block_without_doubt(comparison, "energy stored over what parting takes, at most",
                             "stored_over_needed_energy",
                             [](double bound) { return fmt::format("{:.2g}", bound); });
}

std::string conversion_block(const ordered_json& comparison) {
  return block_without_doubt(comparison, "conversion of the paste beside it, at the end",
                             "conversion_mean_end",
                             [](double conversion) { return fmt::format("{:.0f} %", 100 * conversion); });
}

/// Nothing where no result knows how strength scatters.
std::string chance_block(const ordered_json& comparison) {
  if (!any_wall_has(comparison, "chance_started_failing_end")) return "";
  return block(comparison, "chance that it starts to fail somewhere", "chance_started_failing_end",
               [](const ordered_json& wall) {
                 return chance_text(wall.at("chance_started_failing_end").get<double>());
               });
}

std::string intact_table(const ordered_json& comparison) {
  return block(comparison, "highest ratio of stress to strength", "highest_p95",
               [](const ordered_json& wall) {
                 const ordered_json& highest = wall.at("highest_p95");
                 return at(fmt::format("{:.2f}", highest.at("stress_to_strength_p95").get<double>()),
                           highest.at("time_s"));
               }) +
         block(comparison, "largest area at strength", "share_of_whole_at_strength_worst",
               [](const ordered_json& wall) {
                 const double share = wall.at("share_of_whole_at_strength_worst").get<double>();
                 return at(fmt::format("{:.0f} %", 100 * share), wall.at("worst_time_s"));
               }) +
         chance_block(comparison) + energy_block(comparison);
}

std::string debonding_table(const ordered_json& comparison) {
  return share_block(comparison, "let go at the end", "share_of_whole_debonded_end") +
         share_block(comparison, "begun to lose strength, or let go", "share_of_whole_softened_end") +
         share_block(comparison, "strength lost, mean", "mean_strength_lost_of_whole_end") +
         block(comparison, "gap [mm3]", "gap_volume_mm3_end", [](const ordered_json& wall) {
           return fmt::format("{:.3f}", wall.at("gap_volume_mm3_end").get<double>());
         });
}

std::string table_text(const ordered_json& comparison) {
  std::vector<std::string> heads;
  for (std::size_t i = 0; i < comparison.at("results").size(); ++i)
    heads.push_back(fmt::format("[{}]", i + 1));
  std::string text = row_text("", heads);
  text += comparison.at("mode") == "debonding" ? debonding_table(comparison) : intact_table(comparison);
  text += conversion_block(comparison);
  text += row_of(comparison, "light, irradiance x time [J/cm2]",
                 [](const ordered_json& result) { return result.at("exposures_J_cm2").get<std::string>(); });
  text += row_of(comparison, "cusps move in at the end [um]", [](const ordered_json& result) {
    const ordered_json& cusps = result.at("cusps_towards_cavity_um_end");
    return cusps.is_null() ? "-" : fmt::format("{:.1f}", cusps.get<double>());
  });
  return text + row_of(comparison, "chair time", [](const ordered_json& result) {
           return duration_text(result.at("chair_time_s").get<double>());
         });
}

std::string notes_text(const ordered_json& comparison) {
  std::string text;
  for (std::size_t i = 0; i < comparison.at("results").size(); ++i)
    for (const ordered_json& note : comparison.at("results")[i].at("notes"))
      text += fmt::format("[{}] {}\n", i + 1, note.get<std::string>());
  for (const ordered_json& pair : comparison.at("mirror_walls"))
    text += fmt::format(
        "{}\n", mirror_words({.wall = pair[0].get<std::string>() + " and " + pair[1].get<std::string>(),
                              .mirrored = true}));
  return text.empty() ? text : text + "\n";
}

}  // namespace

std::string comparison_text(const ordered_json& comparison) {
  const std::string mode = comparison.at("mode");
  std::string text = fmt::format("Comparison: {}. Shares are of the whole wall\n", mode_in_words(mode));
  if (mode != "debonding")
    text += "Ratio: stress over strength, 1: strength reached; 95 % of the area stays below the number\n";
  text += '\n';
  for (std::size_t i = 0; i < comparison.at("results").size(); ++i) {
    const ordered_json& result = comparison.at("results")[i];
    const std::string name = result.at("name"), title = result.at("title");
    text += fmt::format("[{}] {}{}{}\n", i + 1, name, title == name ? "" : ": " + title,
                        result.at("invented").get<bool>() ? " (invented)" : "");
  }
  text += fmt::format("\n{}\n{}", table_text(comparison), notes_text(comparison));
  for (const ordered_json& pair : comparison.at("pairs")) {
    for (const ordered_json& sentence : pair.at("sentences")) text += sentence.get<std::string>() + "\n";
    text += '\n';
  }
  for (const ordered_json& answer : comparison.value("answers", ordered_json::array())) {
    text += answer.at("title").get<std::string>() + ":\n";
    for (const ordered_json& sentence : answer.at("sentences")) text += sentence.get<std::string>() + "\n";
    text += '\n';
  }
  return text + comparison.at("limits").get<std::string>();
}

std::string comparison_in_brief(const ordered_json& comparison) {
  std::string text =
      fmt::format("What differs ({})\n", mode_in_words(comparison.at("mode").get<std::string>()));
  for (const ordered_json& pair : comparison.at("pairs"))
    for (const ordered_json& sentence : pair.at("in_brief"))
      text += "  " + sentence.get<std::string>() + "\n";
  return text;
}

}  // namespace setstress
