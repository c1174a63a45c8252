#include "cases/compare/cure_words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/check/cure_json.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double told_difference = 0.05;  // of conversion [-]

bool is_low(const WallNumbers& wall, const ComparedSide& side) {
  return side.top_conversion && *wall.conversion < least_bottom_over_top * *side.top_conversion;
}

/// Whether the load on the wall is lower on the first side; empty where it is not known.
std::optional<bool> first_is_pulled_less(const WallNumbers& a, const WallNumbers& b, bool debonding) {
  if (debonding && a.debonded && b.debonded) return *a.debonded < *b.debonded;
  if (!debonding && a.highest && b.highest) return a.highest->ratio < b.highest->ratio;
  return std::nullopt;
}

/// `a` has set less than `b`.
std::string less_cured_sentence(const WallNumbers& a, const WallNumbers& b, const ComparedSide& side,
                                const ComparedSide& other, bool debonding) {
  const std::string wall = wall_in_words(a);
  const bool less = first_is_pulled_less(a, b, debonding).value_or(false);
  const std::string reached = fmt::format(
      "the paste there has reached only {:.0f} % of the conversion that it can reach ({:.0f} % in {})",
      100 * *a.conversion, 100 * *b.conversion, other.name);
  if (!less)
    return fmt::format("The {} {} no better in {} although {}, and paste that has set less pulls less.", wall,
                       a.mirrored ? "fare" : "fares", side.name, reached);
  return fmt::format("The {} {} in {} also because {}. This is not a benefit.", wall,
                     debonding ? (a.mirrored ? "let go less" : "lets go less")
                               : (a.mirrored ? "are pulled less" : "is pulled less"),
                     side.name, reached);
}

std::string both_low_sentence(const WallNumbers& a, const WallNumbers& b, const ComparedSide& first,
                              const ComparedSide& second) {
  return fmt::format(
      "Beside the {} the paste has reached {:.0f} % of the conversion that it can reach in {} and {:.0f} % "
      "in {}, "
      "and not {:.0f} % of what the top has: it pulls less than a cured filling would. This is not a "
      "benefit.",
      wall_in_words(a), 100 * *a.conversion, first.name, 100 * *b.conversion, second.name,
      100 * least_bottom_over_top);
}

}  // namespace

std::vector<std::string> cure_sentences(const ComparedSide& a, const ComparedSide& b, bool debonding) {
  std::vector<std::string> sentences;
  for (const WallNumbers& wall : a.walls) {
    const auto other = std::ranges::find(b.walls, wall.wall, &WallNumbers::wall);
    if (wall.wall == "all" || other == b.walls.end() || !wall.conversion || !other->conversion) continue;
    const double difference = *wall.conversion - *other->conversion;
    const bool first_low = is_low(wall, a), second_low = is_low(*other, b);
    if (std::abs(difference) <= told_difference && !first_low && !second_low) continue;
    if (std::abs(difference) <= told_difference && first_low && second_low)
      sentences.push_back(both_low_sentence(wall, *other, a, b));
    else if (difference < 0)
      sentences.push_back(less_cured_sentence(wall, *other, a, b, debonding));
    else
      sentences.push_back(less_cured_sentence(*other, wall, b, a, debonding));
  }
  return sentences;
}

std::optional<double> top_conversion(const ordered_json& summary) {
  std::optional<double> top;
  if (!summary.contains("cure")) return top;
  for (const ordered_json& increment : summary.at("cure").at("increments"))
    if (const ordered_json& here = increment.at("conversion_top"); here.is_number())
      top = std::max(top.value_or(0), here.get<double>());
  return top;
}

std::string exposures_text(const ordered_json& timeline) {
  struct Light {
    double start, irradiance;
  };
  std::vector<Light> on;  // the first that goes on is the first that goes off
  std::vector<std::string> exposures;
  for (const ordered_json& event : timeline) {
    const std::string words = event.at("event");
    const double time = event.at("time_s");
    constexpr std::string_view goes_on = "light on, ";
    if (words.starts_with(goes_on)) on.push_back({time, std::stod(words.substr(goes_on.size()))});
    if (words != "light off" || on.empty()) continue;
    constexpr double mj_in_j = 1000;
    exposures.push_back(fmt::format("{:.3g}", on.front().irradiance * (time - on.front().start) / mj_in_j));
    on.erase(on.begin());
  }
  if (exposures.empty()) return "-";
  const bool alike = std::ranges::all_of(exposures, [&](const auto& e) { return e == exposures.front(); });
  if (alike && exposures.size() > 1) return fmt::format("{} x {}", exposures.size(), exposures.front());
  return fmt::format("{}", fmt::join(exposures, ", "));
}

}  // namespace setstress
