#include <catch2/catch.hpp>

#include <cmath>
#include <limits>

#include "cases/study/statistics/distribution.hpp"
#include "cases/study/statistics/effects.hpp"

using namespace setstress;

namespace {
const double missing = std::numeric_limits<double>::quiet_NaN();
}

TEST_CASE("Quantiles lie on straight lines between the sorted values", "[statistics]") {
  // By hand; type 7 of Hyndman and Fan 1996: position share * (n - 1).
  CHECK(quantile({4, 1, 3, 2}, 0.0) == 1);
  CHECK(quantile({4, 1, 3, 2}, 0.5) == 2.5);
  CHECK(quantile({4, 1, 3, 2}, 0.1) == Approx(1.3));
  CHECK(quantile({4, 1, 3, 2}, 1.0) == 4);
  CHECK(quantile({7}, 0.3) == 7);
  CHECK_THROWS_AS(quantile(std::vector<double>{}, 0.5), std::invalid_argument);
}

TEST_CASE("Probability curve: share of runs above each value, ties together", "[statistics]") {
  const std::vector<ExceedancePoint> curve = exceedance_curve({3, 1, 2, 2});
  REQUIRE(curve.size() == 3);
  CHECK(curve[0].value == 1);
  CHECK(curve[0].share == 0.75);
  CHECK(curve[1].value == 2);
  CHECK(curve[1].share == 0.25);
  CHECK(curve[2].share == 0);
  // Massart 1990: half width sqrt(ln(2/0.05)/(2 n)) = 0.6791 for n = 4.
  CHECK(curve[0].low == Approx(0.75 - 0.6791).margin(5e-5));
  CHECK(curve[0].high == 1);
  CHECK(curve[2].low == 0);
}

TEST_CASE("Pareto front of a table made by hand", "[statistics]") {
  //                              0  1  2  3  4        5  6
  const std::vector<double> time{5, 1, 3, 3, 2, missing, 3};
  const std::vector<double> area{1, 9, 4, 5, 9, 0.0, 4};
  // 3 is beaten by 2 (same time, less area), 4 by 1; 6 is the equal of 2; 5 has no time.
  CHECK(pareto_front(time, area) == std::vector<std::size_t>{1, 2, 6, 0});
  CHECK(pareto_front({}, {}).empty());
  CHECK_THROWS_AS(pareto_front({1}, {}), std::invalid_argument);
}

TEST_CASE("Main effects average over everything else, and count what is missing", "[statistics]") {
  const FactorColumn wait{"wait", {60, 0, 60, 0, 60}, {}};
  const std::vector<Level> levels = levels_of(wait);
  REQUIRE(levels.size() == 2);
  CHECK(levels[0].name == "0");
  CHECK(levels[1].runs == std::vector<std::size_t>{0, 2, 4});
  const std::vector<Effect> effect = main_effect(levels, {10, 40, 20, 60, missing});
  CHECK(effect[0].mean == 50);
  CHECK(effect[0].count == 2);
  CHECK(effect[1].mean == 15);
  CHECK(effect[1].missing == 1);
  CHECK(effect[1].smallest == 10);
  CHECK(effect[1].largest == 20);
  CHECK(std::isnan(main_effect(levels, {missing, 1, missing, 1, missing})[1].mean));
}

TEST_CASE("A factor of many values is cut into ranges of about as many runs", "[statistics]") {
  FactorColumn depth{"depth", {}, {}};
  for (int i = 0; i < 40; ++i) depth.numbers.push_back(0.1 * (39 - i));
  const std::vector<Level> ranges = levels_of(depth, 8);
  REQUIRE(ranges.size() == 8);
  std::size_t runs = 0;
  for (const Level& range : ranges) {
    CHECK(range.is_range);
    CHECK(range.runs.size() == 5);
    runs += range.runs.size();
  }
  CHECK(runs == 40);
  CHECK(ranges[0].at == Approx(0.2));  // of 0, 0.1, ... 0.4
  CHECK(ranges[0].name == "0 to 0.4");
}

TEST_CASE("Words are levels in the order in which they appear", "[statistics]") {
  const std::vector<Level> levels = levels_of({"plan", {}, {"layers", "bulk", "layers"}});
  REQUIRE(levels.size() == 2);
  CHECK(levels[0].name == "layers");
  CHECK(levels[0].runs == std::vector<std::size_t>{0, 2});
}

TEST_CASE("Tornado: only runs that differ from the base in one factor alone", "[statistics]") {
  const std::vector<FactorColumn> factors{
      {"wait", {60, 0, 120, 60, 60, 0}, {}},
      {"material", {}, {"paste", "paste", "paste", "flowable", "bulk", "bulk"}},
      {"depth", {5, 5, 5, 5, 5, 5}, {}}};
  //                               base  wait wait  mat  mat  two factors at once
  const std::vector<double> output{10, 14, 9, 30, missing, 99};
  const std::vector<Reach> bars = tornado(factors, output, 0);
  REQUIRE(bars.size() == 2);  // depth never differs
  CHECK(bars[0].factor == 1);
  CHECK(bars[0].lowest == 10);
  CHECK(bars[0].highest == 30);
  CHECK(bars[0].highest_run == 3);
  CHECK(bars[0].runs == 1);
  CHECK(bars[1].factor == 0);
  CHECK(bars[1].lowest == 9);
  CHECK(bars[1].highest == 14);
  CHECK(bars[1].lowest_run == 2);
  CHECK_THROWS_AS(tornado(factors, output, 4), std::invalid_argument);
}
