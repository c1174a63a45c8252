#include "cases/odds/deciding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace setstress {

InputColumns columns_of(const Odds& odds) {
  InputColumns columns;
  const auto add = [&](const std::string& words, const std::string& unit, const auto& value) {
    columns.words.push_back(words);
    columns.units.push_back(unit);
    columns.values.emplace_back();
    for (const OddsRow& row : odds.rows)
      columns.values.back().push_back(value(odds.values.at(static_cast<std::size_t>(row.draw - 1))));
  };
  for (std::size_t i = 0; i < odds.inputs.size(); ++i) {
    const UncertainInput& input = odds.inputs[i];
    if (input.spread.laws.empty()) add(input.words, input.unit, [i](const auto& draw) { return draw.at(i); });
    for (std::size_t law = 0; law < input.spread.laws.size(); ++law)
      add(fmt::format("{} is {}", input.words, input.spread.laws[law]), "=",
          [i, law](const auto& draw) { return draw.at(i) == static_cast<double>(law) ? 1.0 : 0.0; });
  }
  return columns;
}

std::vector<Deciding> deciding(const InputColumns& columns, const std::vector<double>& differences) {
  std::vector<Deciding> found;
  for (std::size_t c = 0; c < columns.values.size(); ++c)
    if (const auto rank = rank_correlation(columns.values[c], differences);
        rank && (rank->low > 0 || rank->high < 0))
      found.push_back({c, *rank});
  std::ranges::stable_sort(found, std::ranges::greater{},
                           [](const Deciding& d) { return std::abs(d.rank.value); });
  return found;
}

std::string cut_words(const InputColumns& columns, const Cut& cut) {
  const std::string &words = columns.words.at(cut.input), &unit = columns.units.at(cut.input);
  if (unit == "=") {
    if (!cut.second_lower_below) return words;
    const std::size_t is = words.find(" is ");
    return words.substr(0, is) + " is not " + words.substr(is + 4);
  }
  const std::string kind = unit.empty() ? " of its usual value" : unit == "-" ? "" : " " + unit;
  return fmt::format("{} is {} {:.3g}{}", words, cut.second_lower_below ? "below" : "above", cut.at, kind);
}

}  // namespace setstress
