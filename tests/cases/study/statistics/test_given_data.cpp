// Shares of variance and adjusted means from runs of any design, against models whose answers are known.

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <random>

#include "cases/study/statistics/adjusted.hpp"
#include "cases/study/statistics/given_data.hpp"
#include "tests/check_record.hpp"

using namespace setstress;

namespace {

constexpr double pi = std::numbers::pi;

/// Runs drawn at random from the unit cube.
struct Runs {
  std::vector<FactorColumn> factors;
  std::vector<double> output;
};

Runs drawn(int count, int inputs, unsigned seed) {
  std::mt19937_64 generator(seed);
  Runs runs;
  for (int i = 0; i < inputs; ++i) runs.factors.push_back({"x" + std::to_string(i + 1), {}, {}});
  for (int r = 0; r < count; ++r)
    for (FactorColumn& factor : runs.factors)
      factor.numbers.push_back(static_cast<double>(generator() >> 11U) * 0x1p-53);
  return runs;
}

/// y = 4 x1 + x2 + plan (0, 2, 2), x3 idle: variances 16/12, 1/12 and 8/9, no interactions.
Runs sum_of_numbers_and_plan(int count, unsigned seed) {
  Runs runs = drawn(count, 4, seed);
  FactorColumn plan{"plan", {}, {}};
  const std::vector<double>& choice = runs.factors[3].numbers;
  for (const double c : choice)
    plan.words.push_back(c < 1.0 / 3 ? "bulk" : c < 2.0 / 3 ? "layers" : "oblique");
  runs.factors[3] = plan;
  for (int r = 0; r < count; ++r) {
    const auto at = static_cast<std::size_t>(r);
    runs.output.push_back(4 * runs.factors[0].numbers[at] + runs.factors[1].numbers[at] +
                          (plan.words[at] == "bulk" ? 0 : 2));
  }
  return runs;
}

const std::vector<double> true_shares = [] {
  const double x1 = 16.0 / 12, x2 = 1.0 / 12, plan = 8.0 / 9, all = x1 + x2 + plan;
  return std::vector<double>{x1 / all, x2 / all, 0, plan / all};
}();

}  // namespace

TEST_CASE("Shares of variance from given data are those of the Ishigami function",
          "[verification][statistics]") {
  Runs runs = drawn(2000, 3, 7);
  for (std::size_t r = 0; r < 2000; ++r) {
    const auto x = [&](std::size_t i) { return pi * (2 * runs.factors[i].numbers[r] - 1); };
    runs.output.push_back(std::sin(x(0)) + 7 * std::pow(std::sin(x(1)), 2) +
                          0.1 * std::pow(x(2), 4) * std::sin(x(0)));
  }
  const std::vector<VarianceShare> shares = variance_shares(runs.factors, runs.output);
  // 0.3139, 0.4424, 0 (Saltelli et al. 2010, Comput Phys Commun 181:259-270). 16 classes lose 5 % of the
  // second, 2000 draws scatter by 0.02.
  CHECK(shares.at(0).share.value == Approx(0.3139).margin(0.05));
  CHECK(shares.at(1).share.value == Approx(0.4424).margin(0.06));
  CHECK(shares.at(2).share.value == Approx(0.0).margin(0.02));
  CHECK(shares.at(2).share.low == 0);
  CHECK(shares.at(0).share.low < 0.3139);
  CHECK(shares.at(0).share.high > 0.29);
}

TEST_CASE("Shares of numbers and of plans add up to a sum's whole variance", "[verification][statistics]") {
  const Runs runs = sum_of_numbers_and_plan(1000, 3);
  const std::vector<VarianceShare> shares = variance_shares(runs.factors, runs.output);
  double sum = 0;
  for (std::size_t f = 0; f < 4; ++f) {
    CHECK(shares.at(f).share.value == Approx(true_shares[f]).margin(0.04));
    CHECK(shares[f].share.low <= shares[f].share.value);
    CHECK(shares[f].share.high >= shares[f].share.value);
    sum += shares[f].share.value;
  }
  CHECK(sum == Approx(1).margin(0.05));
  CHECK(shares[0].classes == 16);
  CHECK(shares[3].classes == 3);
  const std::vector<VarianceShare> again = variance_shares(runs.factors, runs.output);
  CHECK(again[0].share.low == shares[0].share.low);  // seeded
}

TEST_CASE("Intervals of shares from given data hold the truth about 95 times in 100",
          "[verification][statistics]") {
  constexpr int repeats = 200;
  std::vector<int> held(4);
  for (int repeat = 0; repeat < repeats; ++repeat) {
    const Runs runs = sum_of_numbers_and_plan(120, 100U + static_cast<unsigned>(repeat));
    const std::vector<VarianceShare> shares = variance_shares(runs.factors, runs.output, {}, 200);
    for (std::size_t f = 0; f < 4; ++f)
      held[f] += shares[f].share.low <= true_shares[f] && true_shares[f] <= shares[f].share.high;
  }
  // The bootstrap with 120 runs is a little narrow; counts of 200 scatter by 3.
  for (const int count : held) {
    INFO(count);
    CHECK(count >= 176);
  }
}

TEST_CASE(
    "Shares where plans are crossed with draws: intervals hold the truth, the same plan twice does nothing",
    "[verification][statistics]") {
  // y = 4 x1 + x2 + (0 or 2 by plan) + plan times x3, over 60 draws of x for both plans.
  const double x1 = 16.0 / 12, x2 = 1.0 / 12, x3 = 0.25 / 12, plan = 1.25 * 1.25, both = 0.25 / 12;
  const double all = x1 + x2 + x3 + plan + both;
  constexpr int repeats = 200, draws = 60;
  std::vector<int> held(4);
  for (int repeat = 0; repeat < repeats; ++repeat) {
    const Runs once = drawn(draws, 3, 900U + static_cast<unsigned>(repeat));
    Runs runs{{{"x1", {}, {}}, {"x2", {}, {}}, {"x3", {}, {}}, {"plan", {}, {}}}, {}};
    std::vector<int> draw;
    for (int d = 0; d < draws; ++d)
      for (const double p : {0.0, 1.0}) {
        const auto x = [&](std::size_t i) { return once.factors[i].numbers[static_cast<std::size_t>(d)]; };
        for (std::size_t i = 0; i < 3; ++i) runs.factors[i].numbers.push_back(x(i));
        runs.factors[3].words.emplace_back(p > 0 ? "layers" : "bulk");
        runs.output.push_back(4 * x(0) + x(1) + 2 * p + p * x(2));
        draw.push_back(d);
      }
    const std::vector<VarianceShare> shares = variance_shares(runs.factors, runs.output, draw, 200);
    const std::vector<double> truth{x1 / all, x2 / all, x3 / all, plan / all};
    for (std::size_t f = 0; f < 4; ++f)
      held[f] += shares[f].share.low <= truth[f] && truth[f] <= shares[f].share.high;
    if (repeat > 0) continue;
    for (std::size_t r = 1; r < runs.output.size(); r += 2) runs.output[r] = runs.output[r - 1];
    CHECK(variance_shares(runs.factors, runs.output, draw, 200).at(3).share.value == 0);
  }
  for (const int count : held) {
    INFO(count);
    CHECK(count >= 174);
  }
}

TEST_CASE("A whole grid has exact shares", "[verification][statistics]") {
  // y = x + 2 * [plan is layers] over x = 0, 1, 2: variances 2/3 and 1.
  Runs runs{{{"x", {}, {}}, {"plan", {}, {}}}, {}};
  for (const double x : {0.0, 1.0, 2.0})
    for (const char* plan : {"bulk", "layers"}) {
      runs.factors[0].numbers.push_back(x);
      runs.factors[1].words.emplace_back(plan);
      runs.output.push_back(x + (std::string(plan) == "layers" ? 2 : 0));
    }
  const std::vector<VarianceShare> shares = shares_of_whole_grid(runs.factors, runs.output);
  CHECK(shares.at(0).share.value == Approx(0.4));
  CHECK(shares.at(1).share.value == Approx(0.6));
  CHECK(shares.at(1).share.low == shares.at(1).share.high);
}

TEST_CASE("Shares that mean nothing are not given", "[statistics]") {
  Runs few = sum_of_numbers_and_plan(15, 1);
  CHECK(variance_shares(few.factors, few.output).empty());
  Runs same = sum_of_numbers_and_plan(50, 1);
  same.output.assign(50, 1.5);
  CHECK(variance_shares(same.factors, same.output).empty());
  CHECK(shares_of_whole_grid(same.factors, same.output).empty());
  Runs gaps = sum_of_numbers_and_plan(400, 1);
  for (std::size_t r = 0; r < 400; r += 4) gaps.output[r] = NAN;  // failed runs are left out
  CHECK(variance_shares(gaps.factors, gaps.output).at(0).share.value == Approx(true_shares[0]).margin(0.08));
}

TEST_CASE("Adjusted means are free of the chance of another factor", "[verification][statistics]") {
  // Few runs a level, and a plan that weighs four times what the level does.
  Runs runs = drawn(60, 2, 5);
  FactorColumn plan{"plan", {}, {}};
  for (std::size_t r = 0; r < 60; ++r) {
    plan.words.emplace_back(runs.factors[1].numbers[r] < 0.5 ? "bulk" : "layers");
    double& x = runs.factors[0].numbers[r];
    x = std::floor(8 * x) / 8;  // eight values
    const double z = runs.factors[1].numbers[r];
    runs.output.push_back(x + (plan.words[r] == "bulk" ? 4 : 0) + z * z);
  }
  runs.factors.push_back(plan);
  const std::vector<Level> levels = levels_of(runs.factors[0], 8);
  const auto means = adjusted_means(levels, 0, runs.factors, runs.output);
  REQUIRE(means);
  const std::vector<Effect> plain = main_effect(levels, runs.output);
  double plain_error = 0, error = 0;
  const double offset = (*means)[0] - levels[0].at;
  for (std::size_t l = 0; l < levels.size(); ++l) {
    error = std::max(error, std::abs((*means)[l] - levels[l].at - offset));
    plain_error =
        std::max(plain_error, std::abs(plain[l].mean - plain[0].mean - levels[l].at + levels[0].at));
  }
  CHECK(error < 1e-9);       // the model is the one that is fitted
  CHECK(plain_error > 0.5);  // and plain means zig-zag
}

TEST_CASE("Adjusted means of a whole grid are its plain ones, and are not given where nothing can tell",
          "[statistics]") {
  Runs grid{{{"x", {}, {}}, {"plan", {}, {}}}, {}};
  for (const double x : {0.0, 1.0, 2.0, 3.0})
    for (const char* plan : {"bulk", "layers", "oblique"}) {
      grid.factors[0].numbers.push_back(x);
      grid.factors[1].words.emplace_back(plan);
      grid.output.push_back(x * (std::string(plan) == "bulk" ? 1 : 3) + 0.1 * x * x);
    }
  const std::vector<Level> levels = levels_of(grid.factors[0]);
  const auto means = adjusted_means(levels, 0, grid.factors, grid.output);
  REQUIRE(means);
  const std::vector<Effect> plain = main_effect(levels, grid.output);
  for (std::size_t l = 0; l < levels.size(); ++l) CHECK((*means)[l] == Approx(plain[l].mean).margin(1e-12));
  // A plan that goes with x cannot be told from it.
  for (std::size_t r = 0; r < grid.output.size(); ++r)
    grid.factors[1].words[r] = grid.factors[0].numbers[r] < 2 ? "bulk" : "layers";
  CHECK_FALSE(adjusted_means(levels, 0, grid.factors, grid.output));
}
