#include "cases/odds/odds_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace setstress {

namespace {

constexpr std::size_t most_named = 3;

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

/// Those that take part in most of the variance.
std::string indices_sentence(const Odds& odds, const InputIndices& indices) {
  constexpr double worth_naming = 0.05;
  std::vector<std::size_t> order(odds.inputs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::stable_sort(order, std::ranges::greater{},
                           [&](std::size_t i) { return indices.total[i].value; });
  std::vector<std::string> named;
  for (const std::size_t i : order)
    if (const VarianceShare& total = indices.total[i], &first = indices.first[i];
        named.size() < most_named && total.value >= worth_naming)
      named.push_back(fmt::format("{} takes part in {} ({} to {}; alone {}, {} to {})", odds.inputs[i].words,
                                  percent(total.value), percent(total.low), percent(total.high),
                                  percent(first.value), percent(first.low), percent(first.high)));
  return fmt::format(" Of the variance of the difference, {}.", fmt::join(named, ", "));
}

std::string deciding_sentence(const Odds& odds, const InputColumns& columns, const WallOdds& wall) {
  if (wall.indices) return indices_sentence(odds, *wall.indices);
  if (wall.odds.draws < fewest_for_ranks)
    return fmt::format(" Fewer than {} draws do not tell which inputs decide.", fewest_for_ranks);
  if (wall.deciding.empty()) return " No input stands out.";
  std::vector<std::string> named;
  for (const Deciding& d : wall.deciding)
    if (named.size() < most_named)
      named.push_back(fmt::format("{}{} (rank correlation {:+.2f}, {:+.2f} to {:+.2f})",
                                  columns.units[d.column] == "=" ? "whether the " : "",
                                  columns.words[d.column], d.rank.value, d.rank.low, d.rank.high));
  return fmt::format(" The difference goes most with {}.", fmt::join(named, ", "));
}

std::string cut_sentence(const Odds& odds, const InputColumns& columns, const WallOdds& wall) {
  if (!wall.cut) return "";
  return fmt::format(
      " Best single cut: \"{}\" is lower where {}, else \"{}\"; right in {} of the draws, {} without it.",
      odds.second, cut_words(columns, *wall.cut), odds.first, percent(wall.cut->right),
      percent(wall.cut->without));
}

std::string wall_sentence(const Odds& odds, const InputColumns& columns, std::size_t wall,
                          const WallOdds& found) {
  std::string words = wall_in_words(odds.walls[wall]);
  words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words.front())));
  const PairedOdds& paired = found.odds;
  if (paired.same == paired.draws)
    return fmt::format("{}: no difference in any of {} draws.", words, paired.draws);
  const WhyMeasure& measure = odds.measures.front();
  return fmt::format("{}: {}; {}. The difference is {} in the middle and {} to {} in nine draws of ten.",
                     words, how_often(odds, paired), verdict(odds, paired),
                     difference_text(paired.median, measure), difference_text(paired.p05, measure),
                     difference_text(paired.p95, measure)) +
         deciding_sentence(odds, columns, found) + cut_sentence(odds, columns, found);
}

std::string opening_sentence(const Odds& odds) {
  std::string text =
      fmt::format("Both plans under the same {} draw{} of {} uncertain inputs, {}.", odds.done(),
                  odds.done() == 1 ? "" : "s", odds.inputs.size(), odds.measures.front().words);
  if (!odds.coarse.empty())
    text += fmt::format(" Elements of {:g} mm: means alone, no percentiles or areas.", odds.element_size);
  return text;
}

/// Paste that stays soft pulls less, and that must not pass for a better plan; "" where none does.
std::string cure_sentence(const Odds& odds) {
  const int first = odds.under_cured(false), second = odds.under_cured(true);
  if (first + second == 0) return "";
  return fmt::format(
      "An increment is under-cured in {} of {} draws in \"{}\" and in {} in \"{}\": paste that has set less "
      "pulls "
      "less, and that is not a benefit.",
      first, odds.done(), odds.first, second, odds.second);
}

/// Messages of draws without numbers, equal ones once.
std::vector<std::string> failed_sentences(const Odds& odds) {
  std::map<std::string, std::vector<int>> by_message;
  for (const OddsRow& row : odds.rows)
    if (row.status != RunStatus::done) by_message[row.message].push_back(row.draw);
  std::vector<std::string> sentences;
  for (const auto& [message, draws] : by_message)
    sentences.push_back(fmt::format("{} draw{} could not be made and {} left out (number {}): {}",
                                    draws.size(), draws.size() == 1 ? "" : "s",
                                    draws.size() == 1 ? "is" : "are", fmt::join(draws, ", "), message));
  return sentences;
}

/// Which of the two kinds of numbers say what decides, and why; "" where no wall differs.
std::string deciding_by(const JudgedOdds& judged) {
  int with = 0, without = 0;
  for (const auto& wall : judged.walls.front())
    if (wall && wall->odds.same < wall->odds.draws) ++(wall->indices ? with : without);
  const int draws = judged.odds.done();
  if (with + without == 0 || draws < fewest_for_ranks) return "";
  if (draws < fewest_for_indices)
    return fmt::format("What decides is told by rank correlations: shares of the variance need {} draws.",
                       fewest_for_indices);
  return fmt::format(
      "Shares of the variance are those of a smooth model of the draws that predicts {} or more of the "
      "variance "
      "of draws left out{}.",
      percent(least_predicted), without > 0 ? "; where none does, rank correlations are told instead" : "");
}

}  // namespace

std::vector<std::string> odds_sentences(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  if (odds.done() == 0) return failed_sentences(odds);
  std::vector<std::string> sentences{opening_sentence(odds)};
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall)
    if (const auto& found = judged.walls.front()[wall])
      sentences.push_back(wall_sentence(odds, judged.columns, wall, *found));
  if (const std::string by = deciding_by(judged); !by.empty()) sentences.push_back(by);
  if (const std::string cure = cure_sentence(odds); !cure.empty()) sentences.push_back(cure);
  for (const std::string& failed : failed_sentences(odds)) sentences.push_back(failed);
  for (const auto& [what, times] : odds.cuts)
    sentences.push_back(fmt::format("Cut to what is possible, {} times: {}.", times, what));
  sentences.emplace_back(
      "Odds are shares of draws of the inputs named in odds.json, from spreads many of which are "
      "assumptions; what the simulation leaves out is not in them.");
  return sentences;
}

std::string odds_text(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  std::string text =
      fmt::format("How sure: second minus first under {} draws\n{:<24}{:>15}{:>16}{:>10}{:>22}\n",
                  odds.done(), "", "second lower", "95 % interval", "median", "5 to 95 %");
  for (std::size_t m = 0; m < odds.measures.size(); ++m) {
    const WhyMeasure& measure = odds.measures[m];
    text += measure.words + "\n";
    for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
      if (!judged.walls[m][wall]) continue;
      const PairedOdds& p = judged.walls[m][wall]->odds;
      text += fmt::format(
          "  {:<22}{:>15}{:>16}{:>10}{:>22}\n",
          odds.walls[wall].wall == "all" ? "whole bond" : odds.walls[wall].wall,
          p.same == p.draws ? "no difference" : percent(p.second_lower.value),
          fmt::format("{:.0f} to {:.0f} %", 100 * p.second_lower.low, 100 * p.second_lower.high),
          difference_text(p.median, measure),
          fmt::format("{} to {}", difference_text(p.p05, measure), difference_text(p.p95, measure)));
    }
  }
  return text;
}

std::vector<std::string> odds_in_brief(const JudgedOdds& judged) {
  const Odds& odds = judged.odds;
  if (odds.done() == 0) return {"No draw has numbers."};
  std::optional<std::size_t> most;
  const auto size = [&](std::size_t wall) { return std::abs(judged.walls.front()[wall]->odds.median); };
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall)
    if (odds.walls[wall].wall != "all" && judged.walls.front()[wall] && (!most || size(wall) > size(*most)))
      most = wall;
  std::vector<std::string> sentences{opening_sentence(odds)};
  if (most) sentences.push_back(wall_sentence(odds, judged.columns, *most, *judged.walls.front()[*most]));
  if (const std::string cure = cure_sentence(odds); !cure.empty()) sentences.push_back(cure);
  for (const std::string& failed : failed_sentences(odds)) sentences.push_back(failed);
  return sentences;
}

}  // namespace setstress
