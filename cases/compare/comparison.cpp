#include "cases/compare/comparison.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "cases/check/case_check.hpp"
#include "cases/reader/toml_reader.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

// Below these a difference is within what the mesh alone can change, and is not called one.
constexpr double clear_share = 0.05;  // of a wall's area, or of a ratio relative to the larger one
constexpr double clear_ratio = 0.05;  // of a stress-to-strength ratio, absolute
constexpr double clear_time = 1.0;    // of chair time [s]

double number(const ordered_json& value) {
  return value.is_number() ? value.get<double>() : 0.0;
}

std::string quoted(const ordered_json& result) {
  return "\"" + result["name"].get<std::string>() + "\"";
}

/// "floor", "axial wall"
std::string spoken(const std::string& wall) {
  const bool is_noun = wall.ends_with("floor") || wall == "bond" || wall == "wall";
  return is_noun ? wall : wall + " wall";
}

/// The numbers of one row of a summary's bond that are compared.
ordered_json row_numbers(const ordered_json& row) {
  const ordered_json &worst = row["worst"], &end = row["end"];
  return {{"area_mm2", row["area_mm2"]},
          {"stress_to_strength_p95_worst", worst["stress_to_strength_p95"]},
          {"worst_time_s", worst["time_s"]},
          {"area_fraction_above_1_worst", worst["area_fraction_above_1"]},
          {"debonded_fraction_end", end["debonded_fraction"]},
          {"largest_gap_um_end", end["largest_gap_um"]},
          {"gap_volume_mm3_end", end["gap_volume_mm3"]}};
}

ordered_json result_numbers(const ordered_json& summary) {
  ordered_json walls = ordered_json::object();
  for (const ordered_json& row : summary["bond"])
    if (row["substrate"] == "all") walls[row["wall"].get<std::string>()] = row_numbers(row);
  const ordered_json& cusps = summary["cusp_deflection"];
  return {{"name", summary["case"]},
          {"title", summary["title"]},
          {"mode", summary["mode"]},
          {"invented", summary["invented"]},
          {"composites", summary["composites"]},
          {"chair_time_s", summary["chair_time_s"]},
          {"cusps_towards_cavity_um_end", cusps.is_null() ? ordered_json(nullptr) : cusps["end"]["both_um"]},
          {"bond", walls}};
}

/// How a wall differs between two results, in the measure that decides.
struct WallDifference {
  std::string wall;
  double first, second;  ///< the measure in either result
  bool clear;
  [[nodiscard]] double size() const { return std::abs(second - first); }
};

/// `key` of every wall the two have in common, the largest difference first.
std::vector<WallDifference> differences(const ordered_json& a, const ordered_json& b, const char* key,
                                        bool is_share) {
  std::vector<WallDifference> all;
  for (const auto& [wall, numbers] : a["bond"].items()) {
    if (wall == "all" || !b["bond"].contains(wall)) continue;
    WallDifference d{wall, number(numbers[key]), number(b["bond"][wall][key]), false};
    const double larger = std::max(std::abs(d.first), std::abs(d.second));
    d.clear =
        is_share ? d.size() >= clear_share : d.size() >= clear_ratio && d.size() >= clear_share * larger;
    all.push_back(d);
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& l, const auto& r) { return l.size() > r.size(); });
  return all;
}

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

std::string ratio_sentence(const ordered_json& a, const ordered_json& b, const WallDifference& d) {
  const auto when = [&d](const ordered_json& r) {
    return duration_text(r["bond"][d.wall]["worst_time_s"].get<double>());
  };
  const double change = (d.second - d.first) / std::max(d.first, 1e-12);
  return fmt::format(
      "The {} differs most: its stress-to-strength ratio (95th percentile by area; 1 is failure) is at "
      "worst {:.2f} "
      "in {} ({} after the bond was cured) and {:.2f} in {} ({}): {} {}.",
      spoken(d.wall), d.first, quoted(a), when(a), d.second, quoted(b), when(b), percent(std::abs(change)),
      d.second < d.first ? "lower" : "higher");
}

std::string debond_sentence(const ordered_json& a, const ordered_json& b, const WallDifference& d) {
  const auto gap = [&d](const ordered_json& r) { return number(r["bond"][d.wall]["largest_gap_um_end"]); };
  return fmt::format(
      "The {} differs most: at the end {} of it has let go in {} (largest gap {:.1f} um) and {} in {} "
      "({:.1f} um).",
      spoken(d.wall), percent(d.first), quoted(a), gap(a), percent(d.second), quoted(b), gap(b));
}

/// The wall that clearly goes the other way than the leading one, if there is one.
std::string other_way_sentence(const std::vector<WallDifference>& all) {
  for (const WallDifference& d : all) {
    const bool opposite = (d.second - d.first) * (all.front().second - all.front().first) < 0;
    if (d.clear && opposite)
      return fmt::format(" The {} goes the other way, from {:.2f} to {:.2f}.", spoken(d.wall), d.first,
                         d.second);
  }
  return "";
}

std::string bond_sentence(const ordered_json& a, const ordered_json& b) {
  if (a["mode"] == "debonding") {
    const auto debonded = differences(a, b, "debonded_fraction_end", true);
    if (!debonded.empty() && debonded.front().clear)
      return debond_sentence(a, b, debonded.front()) + other_way_sentence(debonded);
  }
  const auto ratios = differences(a, b, "stress_to_strength_p95_worst", false);
  if (ratios.empty())
    return fmt::format("{} and {} have no wall in common to compare.", quoted(a), quoted(b));
  if (ratios.front().clear) return ratio_sentence(a, b, ratios.front()) + other_way_sentence(ratios);
  return fmt::format(
      "No clear difference between {} and {}: no wall's stress-to-strength ratio differs by more than {} "
      "(largest: the {}, {:.2f} against {:.2f}).",
      quoted(a), quoted(b), percent(clear_share), spoken(ratios.front().wall), ratios.front().first,
      ratios.front().second);
}

std::string whole_sentence(const ordered_json& a, const ordered_json& b) {
  const char* key = "area_fraction_above_1_worst";
  const double first = number(a["bond"]["all"][key]), second = number(b["bond"]["all"][key]);
  const char* verdict = std::abs(second - first) < clear_share ? "; no clear difference" : "";
  return fmt::format("Of the whole bond, {} reaches its strength at the worst instant in {} and {} in {}{}.",
                     percent(first), quoted(a), percent(second), quoted(b), verdict);
}

std::string chair_sentence(const ordered_json& a, const ordered_json& b) {
  const double first = a["chair_time_s"].get<double>(), second = b["chair_time_s"].get<double>();
  if (std::abs(second - first) < clear_time)
    return fmt::format("Both take {} of chair time.", duration_text(first));
  return fmt::format("{} takes {} {} chair time ({} against {}).", quoted(b),
                     duration_text(std::abs(second - first)), second > first ? "more" : "less",
                     duration_text(second), duration_text(first));
}

/// Says so where the two differ in more than how the composite is placed; "" otherwise.
std::string material_sentence(const ordered_json& a, const ordered_json& b) {
  if (a["composites"] == b["composites"]) return "";
  const auto list = [](const ordered_json& r) {
    return fmt::format("{}", fmt::join(r["composites"].get<std::vector<std::string>>(), " and "));
  };
  return fmt::format(
      "They differ in material as well ({} in {}, {} in {}): not all of the difference comes from how they "
      "are placed.",
      list(a), quoted(a), list(b), quoted(b));
}

std::string table_text(const ordered_json& comparison) {
  std::string text = fmt::format("{:<34}", "Wall");
  for (std::size_t i = 0; i < comparison["results"].size(); ++i)
    text += fmt::format("{:>26}", fmt::format("[{}]", i + 1));
  text += '\n';
  const auto row = [&](const std::string& name, auto cell) {
    text += fmt::format("{:<34}", name);
    for (const ordered_json& result : comparison["results"]) text += fmt::format("{:>26}", cell(result));
    text += '\n';
  };
  const bool debonding = comparison["mode"] == "debonding";
  for (const auto& [wall, numbers] : comparison["results"][0]["bond"].items()) {
    row(wall == "all" ? "whole bond" : wall, [&, name = wall](const ordered_json& result) -> std::string {
      if (!result["bond"].contains(name)) return "-";
      const ordered_json& n = result["bond"][name];
      const std::string ratio = fmt::format("{:.2f} at {}", number(n["stress_to_strength_p95_worst"]),
                                            duration_text(number(n["worst_time_s"])));
      return debonding ? fmt::format("{}, {} off", ratio, percent(number(n["debonded_fraction_end"])))
                       : ratio;
    });
  }
  row("cusps move in at the end [um]", [](const ordered_json& r) {
    return r["cusps_towards_cavity_um_end"].is_null()
               ? "-"
               : fmt::format("{:.1f}", number(r["cusps_towards_cavity_um_end"]));
  });
  row("chair time", [](const ordered_json& r) { return duration_text(number(r["chair_time_s"])); });
  return text;
}

}  // namespace

ordered_json compare_summaries(const std::vector<ordered_json>& summaries) {
  ordered_json results = ordered_json::array();
  for (const ordered_json& summary : summaries) {
    results.push_back(result_numbers(summary));
    if (summary["mode"] != summaries.front()["mode"])
      throw CaseError(fmt::format("{} was run as {} and {} as {}; compare runs of one mode (--mode)",
                                  quoted(results.front()), summaries.front()["mode"].get<std::string>(),
                                  quoted(results.back()), summary["mode"].get<std::string>()));
  }
  ordered_json pairs = ordered_json::array();
  for (std::size_t i = 1; i < results.size(); ++i) {
    ordered_json sentences = {bond_sentence(results[0], results[i])};
    if (results[0]["bond"].contains("all") && results[i]["bond"].contains("all"))
      sentences.push_back(whole_sentence(results[0], results[i]));
    sentences.push_back(chair_sentence(results[0], results[i]));
    if (const std::string materials = material_sentence(results[0], results[i]); !materials.empty())
      sentences.push_back(materials);
    pairs.push_back(
        {{"first", results[0]["name"]}, {"second", results[i]["name"]}, {"sentences", sentences}});
  }
  return {{"mode", results[0]["mode"]}, {"results", results}, {"pairs", pairs}, {"caution", caution_line}};
}

std::string comparison_text(const ordered_json& comparison) {
  std::string text = fmt::format(
      "Comparison ({}), stress-to-strength ratio (1 is failure): 95th percentile by area at "
      "each wall's worst instant\n\n",
      comparison["mode"].get<std::string>());
  for (std::size_t i = 0; i < comparison["results"].size(); ++i) {
    const ordered_json& result = comparison["results"][i];
    text +=
        fmt::format("[{}] {}: {}{}\n", i + 1, result["name"].get<std::string>(),
                    result["title"].get<std::string>(), result["invented"].get<bool>() ? " (invented)" : "");
  }
  text += fmt::format("\n{}\n", table_text(comparison));
  for (const ordered_json& pair : comparison["pairs"]) {
    for (const ordered_json& sentence : pair["sentences"]) text += sentence.get<std::string>() + "\n";
    text += '\n';
  }
  return text;
}

}  // namespace setstress
