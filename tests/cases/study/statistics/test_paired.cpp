#include <catch2/catch.hpp>

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <limits>
#include <random>

#include "cases/study/statistics/paired.hpp"

using namespace setstress;
using Catch::Matchers::WithinAbs;

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// Second minus first of a made-up pair: what both plans share cancels, what only one has does not. Normal
/// with mean 0.3 and deviation 1, so lower with probability P(z < -0.3).
constexpr double mean_difference = 0.3;
double true_share() {
  return cdf(boost::math::normal(), -mean_difference);
}

std::vector<double> made_up_draws(std::mt19937_64& generator, int count) {
  std::normal_distribution<double> draw(mean_difference, 1.0);
  std::vector<double> differences;
  for (int i = 0; i < count; ++i) differences.push_back(draw(generator));
  return differences;
}

}  // namespace

TEST_CASE("the interval covers a known probability in at least about 95 % of seeded repeats",
          "[cases][odds]") {
  std::mt19937_64 generator(7);
  constexpr int repeats = 2000;
  for (const int draws : {32, 64, 256}) {
    int covered = 0;
    for (int r = 0; r < repeats; ++r) {
      const Share share = odds_of(made_up_draws(generator, draws)).second_lower;
      covered += share.low <= true_share() && true_share() <= share.high;
    }
    CAPTURE(draws);
    // exact intervals are no narrower than 95 % and, with so many draws, little wider; 0.005 is the spread of
    // a share over 2000 repeats
    CHECK(covered >= (0.95 - 2 * 0.005) * repeats);
    CHECK(covered <= 0.985 * repeats);
  }
}

TEST_CASE("bounds of a share agree with published ones", "[cases][odds]") {
  // Clopper and Pearson; the values of 10 in 20 and of none in 10: 1 - 0.025^(1/10)
  const Share nothing = share_of(0, 10);
  CHECK(nothing.low == 0);
  CHECK_THAT(nothing.high, WithinAbs(1 - std::pow(0.025, 0.1), 1e-9));
  const Share half = share_of(10, 20);
  CHECK_THAT(half.low, WithinAbs(0.272, 5e-4));
  CHECK_THAT(half.high, WithinAbs(0.728, 5e-4));
  CHECK(share_of(10, 10).high == 1);
  CHECK_THROWS_AS(share_of(3, 2), std::invalid_argument);
  CHECK_THROWS_AS(share_of(0, 0), std::invalid_argument);
}

TEST_CASE("no difference in any draw is exactly a half, draws without a number do not count",
          "[cases][odds]") {
  const PairedOdds same = odds_of(std::vector<double>(64, 0.0));
  CHECK(same.second_lower.value == 0.5);
  CHECK(same.same == same.draws);
  CHECK(same.median == 0);
  const PairedOdds some = odds_of({-1, none, 2, none, -3, 0});
  CHECK(some.draws == 4);
  CHECK(some.lower == 2);
  CHECK(some.second_lower.value == 2.5 / 4);
  CHECK_THROWS_AS(odds_of({none, none}), std::invalid_argument);
}

TEST_CASE("common draws tell a difference more closely than separate ones", "[cases][odds]") {
  // a shared factor of 30 %, an own one of 5 %: what is shared cancels only where both plans get the same
  // draw
  std::mt19937_64 generator(3);
  std::normal_distribution<double> normal;
  const auto differences = [&](bool common) {
    std::vector<double> all;
    for (int i = 0; i < 256; ++i) {
      const double shared = std::exp(0.3 * normal(generator));
      const double other = common ? shared : std::exp(0.3 * normal(generator));
      all.push_back(1.1 * other * std::exp(0.05 * normal(generator)) -
                    shared * std::exp(0.05 * normal(generator)));
    }
    return odds_of(all);
  };
  const PairedOdds common = differences(true), separate = differences(false);
  CHECK(common.p95 - common.p05 < 0.5 * (separate.p95 - separate.p05));
  CHECK(common.second_lower.high - common.second_lower.low <
        separate.second_lower.high - separate.second_lower.low);
  CHECK(common.second_lower.high < 0.5);  // and so its sign is known
}

TEST_CASE("the input that decides is found, with its limit, and noise alone has none", "[cases][odds]") {
  std::mt19937_64 generator(11);
  std::uniform_real_distribution<double> unit;
  std::vector<std::vector<double>> inputs(6);
  std::vector<double> differences;
  for (int i = 0; i < 64; ++i) {
    for (auto& input : inputs) input.push_back(unit(generator));
    differences.push_back(inputs[2].back() - 0.4 + 0.1 * (unit(generator) - 0.5));
  }
  const auto cut = best_cut(inputs, differences);
  REQUIRE(cut);
  CHECK(cut->input == 2);
  CHECK_THAT(cut->at, WithinAbs(0.4, 0.06));
  CHECK(cut->second_lower_below);
  CHECK(cut->right > 0.9);
  CHECK(cut->without < 0.75);
  const auto rank = rank_correlation(inputs[2], differences);
  REQUIRE(rank);
  CHECK(rank->low > 0.9);
  inputs.erase(inputs.begin() + 2);
  int by_chance = 0, correlated = 0;
  for (unsigned seed = 0; seed < 40; ++seed) {
    std::shuffle(differences.begin(), differences.end(), std::mt19937(seed));
    by_chance += best_cut(inputs, differences, 100, seed).has_value();
    const auto chance = rank_correlation(inputs[0], differences);
    correlated += chance->low > 0 || chance->high < 0;
  }
  CHECK(by_chance <= 6);  // 5 % of 40 is 2; more than 6 has a probability below 0.5 %
  CHECK(correlated <= 6);
  CHECK(!rank_correlation({1, 2, 3}, {1, 2, 3}));
  CHECK(!best_cut({{1, 2, 3}}, {-1, 1, 1}));
  CHECK(!rank_correlation(std::vector<double>(20, 1.0), std::vector<double>(20, 2.0)));
}
