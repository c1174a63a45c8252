#include "cases/study/statistics/effects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <optional>
#include <stdexcept>

#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// Three digits, whole numbers where that is more.
std::string short_text(double value) {
  return std::abs(value) >= 999.5 ? fmt::format("{:.0f}", value) : fmt::format("{:.3g}", value);
}

std::vector<Level> levels_of_words(const std::vector<std::string>& words) {
  std::vector<Level> levels;
  std::map<std::string, std::size_t> position;
  for (std::size_t run = 0; run < words.size(); ++run) {
    const auto [found, fresh] = position.emplace(words[run], levels.size());
    if (fresh) levels.push_back({words[run], static_cast<double>(levels.size()), false, {}});
    levels[found->second].runs.push_back(run);
  }
  return levels;
}

/// A level for each different number, rising.
std::vector<Level> levels_of_numbers(const std::vector<double>& numbers) {
  std::map<double, std::vector<std::size_t>> by_value;
  for (std::size_t run = 0; run < numbers.size(); ++run) by_value[numbers[run]].push_back(run);
  std::vector<Level> levels;
  for (const auto& [value, runs] : by_value)
    levels.push_back({fmt::format("{:.6g}", value), value, false, runs});
  return levels;
}

/// Several neighbouring levels as one.
Level merged(std::vector<Level>::const_iterator begin, std::vector<Level>::const_iterator end) {
  Level level{fmt::format("{} to {}", short_text(begin->at), short_text((end - 1)->at)), 0, true, {}};
  for (auto each = begin; each != end; ++each) {
    level.at += each->at * static_cast<double>(each->runs.size());
    level.runs.insert(level.runs.end(), each->runs.begin(), each->runs.end());
  }
  level.at /= static_cast<double>(level.runs.size());
  return level;
}

/// The one factor in which two runs differ; empty where they differ in none or in several.
std::optional<std::size_t> only_difference(const std::vector<FactorColumn>& factors, std::size_t a,
                                           std::size_t b) {
  std::optional<std::size_t> found;
  for (std::size_t f = 0; f < factors.size(); ++f) {
    const FactorColumn& factor = factors[f];
    const bool same =
        factor.is_number() ? factor.numbers[a] == factor.numbers[b] : factor.words[a] == factor.words[b];
    if (same) continue;
    if (found) return {};
    found = f;
  }
  return found;
}

Effect effect_of(std::size_t level, const std::vector<double>& values, std::size_t runs) {
  Effect effect{level,
                static_cast<int>(values.size()),
                static_cast<int>(runs - values.size()),
                none,
                none,
                none,
                none,
                none,
                none};
  if (values.empty()) return effect;
  effect.mean = std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
  effect.median = quantile(values, 0.5);
  effect.tenth = quantile(values, 0.1);
  effect.ninetieth = quantile(values, 0.9);
  effect.smallest = quantile(values, 0.0);
  effect.largest = quantile(values, 1.0);
  return effect;
}

}  // namespace

std::vector<Level> levels_of(const FactorColumn& factor, std::size_t most) {
  if (!factor.is_number()) return levels_of_words(factor.words);
  const std::vector<Level> single = levels_of_numbers(factor.numbers);
  if (single.size() <= most) return single;
  std::vector<Level> ranges;
  std::size_t seen = 0;
  auto begin = single.begin();
  for (auto each = single.begin(); each != single.end(); ++each) {
    seen += each->runs.size();
    const bool full = seen * most >= factor.size() * (ranges.size() + 1);
    if (!full && each + 1 != single.end()) continue;
    ranges.push_back(merged(begin, each + 1));
    begin = each + 1;
  }
  return ranges;
}

std::vector<Effect> main_effect(const std::vector<Level>& levels, const std::vector<double>& output) {
  std::vector<Effect> effects;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    std::vector<double> values;
    for (const std::size_t run : levels[i].runs)
      if (!std::isnan(output.at(run))) values.push_back(output[run]);
    effects.push_back(effect_of(i, values, levels[i].runs.size()));
  }
  return effects;
}

std::vector<Reach> tornado(const std::vector<FactorColumn>& factors, const std::vector<double>& output,
                           std::size_t base) {
  if (std::isnan(output.at(base))) throw std::invalid_argument("tornado: the base run has no value");
  std::vector<Reach> reaches;
  for (std::size_t f = 0; f < factors.size(); ++f)
    reaches.push_back({f, output[base], output[base], base, base, 0});
  for (std::size_t run = 0; run < output.size(); ++run) {
    if (std::isnan(output[run])) continue;
    const std::optional<std::size_t> factor = only_difference(factors, base, run);
    if (!factor) continue;
    Reach& reach = reaches[*factor];
    ++reach.runs;
    if (output[run] < reach.lowest) reach.lowest = output[run], reach.lowest_run = run;
    if (output[run] > reach.highest) reach.highest = output[run], reach.highest_run = run;
  }
  std::erase_if(reaches, [](const Reach& reach) { return reach.runs == 0; });
  std::stable_sort(reaches.begin(), reaches.end(), [](const Reach& a, const Reach& b) {
    return a.highest - a.lowest > b.highest - b.lowest;
  });
  return reaches;
}

}  // namespace setstress
