#include "cases/odds/judged_odds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace setstress {

namespace {

std::optional<WallOdds> wall_odds(const Odds& odds, const InputColumns& columns, std::size_t measure,
                                  std::size_t wall) {
  const std::vector<double> differences = odds.differences(measure, wall);
  if (std::ranges::all_of(differences, [](double d) { return std::isnan(d); })) return std::nullopt;
  std::vector<Spread> spreads;
  for (const UncertainInput& input : odds.inputs) spreads.push_back(input.spread);
  std::vector<std::vector<double>> values;
  for (const OddsRow& row : odds.rows)
    values.push_back(odds.values.at(static_cast<std::size_t>(row.draw - 1)));
  return WallOdds{odds_of(differences), deciding(columns, differences),
                  input_indices(spreads, values, differences), best_cut(columns.values, differences)};
}

}  // namespace

JudgedOdds judged(Odds odds) {
  JudgedOdds judged{std::move(odds), {}, {}};
  judged.columns = columns_of(judged.odds);
  for (std::size_t m = 0; m < judged.odds.measures.size(); ++m) {
    judged.walls.emplace_back();
    for (std::size_t wall = 0; wall < judged.odds.walls.size(); ++wall)
      judged.walls.back().push_back(wall_odds(judged.odds, judged.columns, m, wall));
  }
  return judged;
}

std::string difference_text(double value, const WhyMeasure& measure) {
  return measure.is_share ? fmt::format("{:+.1f} %", 100 * value) : fmt::format("{:+.2f}", value);
}

std::string verdict(const Odds& odds, const PairedOdds& paired) {
  if (paired.same == paired.draws) return "no difference in any draw";
  const char* often = paired.same > 0 ? "lower more often than higher" : "lower more often than not";
  if (paired.second_lower.low > 0.5) return fmt::format("\"{}\" is {}", odds.second, often);
  if (paired.second_lower.high < 0.5) return fmt::format("\"{}\" is {}", odds.first, often);
  return "the draws do not say which is lower more often";
}

std::string how_often(const Odds& odds, const PairedOdds& paired) {
  const std::string alike = paired.same > 0
                                ? fmt::format(", higher in {} ({} alike count half)",
                                              paired.draws - paired.lower - paired.same, paired.same)
                                : "";
  return fmt::format("lower in \"{}\" in {} of {} draws{}: {:.0f} %, 95 % interval {:.0f} % to {:.0f} %",
                     odds.second, paired.lower, paired.draws, alike, 100 * paired.second_lower.value,
                     100 * paired.second_lower.low, 100 * paired.second_lower.high);
}

}  // namespace setstress
