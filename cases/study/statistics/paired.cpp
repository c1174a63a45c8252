#include "cases/study/statistics/paired.hpp"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <numeric>
#include <stdexcept>

#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

std::vector<double> known(const std::vector<double>& values) {
  std::vector<double> found;
  std::ranges::copy_if(values, std::back_inserter(found), [](double value) { return !std::isnan(value); });
  return found;
}

/// Ranks from 1, of equals their mean.
std::vector<double> ranks_of(const std::vector<double>& values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), 0U);
  std::ranges::sort(order, {}, [&](std::size_t i) { return values[i]; });
  std::vector<double> ranks(values.size());
  for (std::size_t from = 0, to = 0; from < order.size(); from = to) {
    for (to = from; to < order.size() && values[order[to]] == values[order[from]];) ++to;
    for (std::size_t i = from; i < to; ++i) ranks[order[i]] = 0.5 * static_cast<double>(from + to + 1);
  }
  return ranks;
}

/// NaN where either never changes.
double correlation(const std::vector<double>& x, const std::vector<double>& y) {
  const auto n = static_cast<double>(x.size());
  const double mean_x = std::accumulate(x.begin(), x.end(), 0.0) / n;
  const double mean_y = std::accumulate(y.begin(), y.end(), 0.0) / n;
  double xx = 0, yy = 0, xy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xx += (x[i] - mean_x) * (x[i] - mean_x);
    yy += (y[i] - mean_y) * (y[i] - mean_y);
    xy += (x[i] - mean_x) * (y[i] - mean_y);
  }
  return xx > 0 && yy > 0 ? xy / std::sqrt(xx * yy) : std::nan("");
}

/// Draws in which the two plans differ: an input in rising order, and where its signs stand in that order.
struct Sorted {
  std::vector<double> values;       ///< rising
  std::vector<std::size_t> places;  ///< of these among the decided draws
};

/// The cut of one input that tells most signs right; `right` counts draws.
Cut best_of(std::size_t input, const Sorted& sorted, const std::vector<char>& lower) {
  const auto n = sorted.values.size();
  const auto all_lower = static_cast<double>(std::ranges::count(lower, char{1}));
  Cut best{input, 0, true, -1, 0};
  double lower_below = 0;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    lower_below += lower[sorted.places[i]];
    if (sorted.values[i] == sorted.values[i + 1]) continue;
    const double higher_above = static_cast<double>(n - i - 1) - (all_lower - lower_below);
    const double right = lower_below + higher_above;
    for (const bool below : {true, false}) {
      const double told = below ? right : static_cast<double>(n) - right;
      if (told > best.right) best = {input, 0.5 * (sorted.values[i] + sorted.values[i + 1]), below, told, 0};
    }
  }
  return best;
}

Cut best_of_all(const std::vector<Sorted>& inputs, const std::vector<char>& lower) {
  Cut best{0, 0, true, -1, 0};
  for (std::size_t i = 0; i < inputs.size(); ++i)
    if (const Cut cut = best_of(i, inputs[i], lower); cut.right > best.right) best = cut;
  return best;
}

}  // namespace

Share share_of(double successes, int trials) {
  if (trials < 1 || successes < 0 || successes > trials)
    throw std::invalid_argument("share of draws: there must be draws, and no more successes than draws");
  using Binomial = boost::math::binomial_distribution<double>;
  constexpr double outside = 0.025;
  const double n = trials;
  return {successes / n, successes == 0 ? 0 : Binomial::find_lower_bound_on_p(n, successes, outside),
          successes == n ? 1 : Binomial::find_upper_bound_on_p(n, successes, outside)};
}

PairedOdds odds_of(const std::vector<double>& differences) {
  const std::vector<double> values = known(differences);
  PairedOdds odds{.draws = static_cast<int>(values.size())};
  odds.lower = static_cast<int>(std::ranges::count_if(values, [](double d) { return d < 0; }));
  odds.same = static_cast<int>(std::ranges::count(values, 0.0));
  odds.second_lower = share_of(odds.lower + 0.5 * odds.same, odds.draws);
  odds.median = quantile(values, 0.5);
  odds.p05 = quantile(values, 0.05);
  odds.p95 = quantile(values, 0.95);
  return odds;
}

std::optional<RankCorrelation> rank_correlation(const std::vector<double>& input,
                                                const std::vector<double>& differences) {
  std::vector<double> x, y;
  for (std::size_t i = 0; i < input.size(); ++i)
    if (!std::isnan(differences.at(i))) x.push_back(input[i]), y.push_back(differences[i]);
  if (x.size() < static_cast<std::size_t>(fewest_for_ranks)) return std::nullopt;
  const double r = correlation(ranks_of(x), ranks_of(y));
  if (std::isnan(r)) return std::nullopt;
  constexpr double quantile_975 = 1.959964, almost_one = 1 - 1e-12;
  const double z = std::atanh(std::clamp(r, -almost_one, almost_one));
  const double half = quantile_975 * std::sqrt(1.06 / (static_cast<double>(x.size()) - 3));
  return RankCorrelation{r, std::tanh(z - half), std::tanh(z + half)};
}

std::optional<Cut> best_cut(const std::vector<std::vector<double>>& inputs,
                            const std::vector<double>& differences, int shuffles, std::uint64_t seed) {
  std::vector<std::size_t> decided;
  std::vector<char> lower;
  for (std::size_t i = 0; i < differences.size(); ++i)
    if (!std::isnan(differences[i]) && differences[i] != 0) {
      decided.push_back(i);
      lower.push_back(differences[i] < 0 ? 1 : 0);
    }
  if (decided.size() < static_cast<std::size_t>(fewest_for_ranks) || inputs.empty()) return std::nullopt;
  std::vector<Sorted> sorted;
  for (const std::vector<double>& input : inputs) {
    Sorted one{{}, std::vector<std::size_t>(decided.size())};
    std::iota(one.places.begin(), one.places.end(), 0U);
    std::ranges::sort(one.places, {}, [&](std::size_t i) { return input.at(decided[i]); });
    for (const std::size_t place : one.places) one.values.push_back(input[decided[place]]);
    sorted.push_back(std::move(one));
  }
  Cut best = best_of_all(sorted, lower);
  std::vector<double> by_chance;
  boost::random::mt19937_64 generator(seed);
  std::vector<char> shuffled = lower;
  for (int s = 0; s < shuffles; ++s) {
    for (std::size_t i = shuffled.size(); i > 1; --i)  // Fisher and Yates
      std::swap(shuffled[i - 1],
                shuffled[boost::random::uniform_int_distribution<std::size_t>(0, i - 1)(generator)]);
    by_chance.push_back(best_of_all(sorted, shuffled).right);
  }
  if (best.right <= quantile(by_chance, 0.95)) return std::nullopt;
  const auto n = static_cast<double>(decided.size());
  const auto often = static_cast<double>(std::ranges::count(lower, char{1}));
  best.right /= n;
  best.without = std::max(often, n - often) / n;
  if (best.right <= best.without) return std::nullopt;
  return best;
}

}  // namespace setstress
