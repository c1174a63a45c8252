#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/study/design/sampling.hpp"
#include "cases/study/file/random_input.hpp"

using namespace setstress;

// Joe and Kuo 2008, SIAM J Sci Comput 30:2635-2654: the first points printed by the authors' own program for
// the direction numbers new-joe-kuo-6 (three dimensions, Gray code order, the origin left out). Powers of
// two: exact.
TEST_CASE("the Sobol sequence starts with the published points", "[verification][study]") {
  const UnitPoints published{{0.5, 0.5, 0.5},       {0.75, 0.25, 0.25},       {0.25, 0.75, 0.75},
                             {0.375, 0.375, 0.625}, {0.875, 0.875, 0.125},    {0.625, 0.125, 0.875},
                             {0.125, 0.625, 0.375}, {0.1875, 0.3125, 0.9375}, {0.6875, 0.8125, 0.4375}};
  CHECK(sobol_points(9, 3) == published);
}

// Bratley and Fox 1988, ACM TOMS 14:88-100: every aligned block of 2^m points puts exactly one into each
// slice of width 2^-m, in every coordinate.
TEST_CASE("Sobol points fill every slice of every coordinate", "[verification][study]") {
  const int dimensions = GENERATE(1, 2, 12);
  constexpr int count = 64;
  UnitPoints points = sobol_points(count - 1, dimensions);
  points.push_back(std::vector<double>(static_cast<std::size_t>(dimensions), 0.0));  // the origin
  for (std::size_t d = 0; d < static_cast<std::size_t>(dimensions); ++d) {
    std::vector<int> in_slice(count, 0);
    for (const auto& point : points) ++in_slice[static_cast<std::size_t>(point[d] * count)];
    CHECK(std::all_of(in_slice.begin(), in_slice.end(), [](int n) { return n == 1; }));
  }
}

// McKay, Beckman and Conover 1979, Technometrics 21:239-245: one point in each of n equally likely slices.
TEST_CASE("a Latin hypercube has one point in each slice of each coordinate", "[verification][study]") {
  const int count = GENERATE(1, 7, 100);
  const UnitPoints points = latin_hypercube(count, 5, 42);
  for (std::size_t d = 0; d < 5; ++d) {
    std::vector<int> in_slice(static_cast<std::size_t>(count), 0);
    for (const auto& point : points) ++in_slice[static_cast<std::size_t>(point[d] * count)];
    CHECK(std::all_of(in_slice.begin(), in_slice.end(), [](int n) { return n == 1; }));
  }
  CHECK(points == latin_hypercube(count, 5, 42));
  CHECK(points != latin_hypercube(count, 5, 43));
}

// Definition. With 10,000 draws the mean of a coordinate is 1/2 within four standard errors, 4 / sqrt(12 n).
TEST_CASE("independent points are spread evenly and differ by seed", "[study]") {
  const UnitPoints points = random_points(10'000, 2, 1);
  for (std::size_t d = 0; d < 2; ++d) {
    double sum = 0;
    for (const auto& point : points) {
      REQUIRE((point[d] > 0 && point[d] < 1));
      sum += point[d];
    }
    CHECK(std::abs(sum / 1e4 - 0.5) < 4 / std::sqrt(12e4));
  }
  CHECK(points != random_points(10'000, 2, 2));
}

// Closed forms; the normal quantile from the tables (Abramowitz and Stegun 1964, table 26.5): 1.6448536270 at
// 0.95.
TEST_CASE("quantiles of the distributions agree with closed forms", "[verification][study]") {
  constexpr double inf = std::numeric_limits<double>::infinity();
  const auto near = [](double value) { return Approx(value).epsilon(1e-9); };
  CHECK(quantile(Uniform{2, 6}, 0.25) == near(3));
  CHECK(quantile(Normal{10, 2, -inf, inf}, 0.95) == near(10 + 2 * 1.6448536269514722));
  CHECK(quantile(Lognormal{3, 0.5}, 0.95) == near(3 * std::exp(0.5 * 1.6448536269514722)));
  CHECK(quantile(Triangular{0, 1, 4}, 0.25) == near(1));  // (mode - low) / width
  CHECK(quantile(Triangular{0, 1, 4}, 0.75) == near(4 - std::sqrt(0.25 * 4.0 * 3.0)));
  CHECK(quantile(Weibull{2, 5, 1}, 1 - std::exp(-1.0)) == near(6));  // start + scale
}

// Cutting a normal distribution symmetrically leaves its median; the ends are reached in the limit.
TEST_CASE("a normal distribution that is cut stays within its limits", "[study]") {
  const Normal cut{0.7, 0.2, 0.5, 0.9};
  CHECK(quantile(cut, 0.5) == Approx(0.7).epsilon(1e-12));
  for (const double share : {1e-9, 0.1, 0.9, 1 - 1e-9}) {
    CHECK(quantile(cut, share) >= 0.5);
    CHECK(quantile(cut, share) <= 0.9);
  }
  CHECK(quantile(cut, 1e-9) == Approx(0.5).margin(1e-6));
  CHECK_THROWS_AS(quantile(cut, 1.0), std::invalid_argument);
}
