#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "cases/wait/wait_curve.hpp"

using namespace setstress;

namespace {

/// The shortest whole-second wait that meets the limit, tried one by one.
std::optional<double> brute_force(const std::function<double(double)>& value, double limit, double longest) {
  for (double wait = 0; wait <= longest; ++wait)
    if (value(wait) < limit) return wait;
  return {};
}

}  // namespace

TEST_CASE("Coarse waits start at none, end at the longest and grow apart", "[wait]") {
  const std::vector<double> waits = coarse_waits({.longest = 1800, .within = 5, .points = 9});
  REQUIRE(waits.size() == 9);
  CHECK(waits.front() == 0);
  CHECK(waits.back() == 1800);
  for (std::size_t i = 2; i < waits.size(); ++i) CHECK(waits[i] - waits[i - 1] > waits[i - 1] - waits[i - 2]);
  CHECK(coarse_waits({.longest = 3, .within = 1, .points = 9}) == std::vector<double>{0, 1, 2, 3});
  CHECK_THROWS_AS(coarse_waits({.longest = 0, .within = 1, .points = 9}), std::invalid_argument);
}

TEST_CASE("The shortest wait on falling curves is that of trying every second", "[wait]") {
  const double scale = GENERATE(20.0, 90.0, 400.0);
  const double limit = GENERATE(0.02, 0.05, 0.3);
  const auto value = [&](double wait) { return 0.8 * std::exp(-wait / scale); };
  int asked = 0;
  const WaitCurve curve = trace_waits(
      [&](double wait) {
        ++asked;
        return value(wait);
      },
      limit, {.longest = 1800, .within = 5, .points = 9});
  const std::optional<double> true_wait = brute_force(value, limit, 1800);
  REQUIRE(curve.shortest.has_value() == true_wait.has_value());
  if (!true_wait) return;
  CHECK(*curve.shortest >= *true_wait);
  CHECK(*curve.shortest - *true_wait <= 5);
  CHECK(curve.value_at(*curve.shortest) < limit);
  REQUIRE(curve.too_short);
  CHECK(curve.value_at(*curve.too_short) >= limit);
  CHECK(*curve.shortest - *curve.too_short <= 5);
  CHECK(curve.lost_again.empty());
  CHECK_FALSE(curve.rise);
  CHECK(asked == static_cast<int>(curve.points.size()));
  CHECK(asked <= 9 + 8);  // the widest interval of the row is 652 s: at most 8 halvings to 5 s
}

TEST_CASE("No wait needed, and no wait enough", "[wait]") {
  const WaitCurve none_needed = trace_waits([](double) { return 0.01; }, 0.05, {});
  CHECK(*none_needed.shortest == 0);
  CHECK_FALSE(none_needed.too_short);
  CHECK(none_needed.points.size() == 9);  // the whole curve all the same

  const WaitCurve never = trace_waits([](double wait) { return 0.1 + std::exp(-wait / 500); }, 0.05, {});
  CHECK_FALSE(never.shortest);
  CHECK(never.best().wait == 1800);
  CHECK(never.best().value == Approx(0.1 + std::exp(-3.6)));
}

TEST_CASE("A curve that rises again is said to", "[wait]") {
  // Falls below the limit of 1 near 220 s and rises above it again near 780 s.
  const auto value = [](double wait) { return 0.5 + std::pow((wait - 500) / 400, 2); };
  const WaitCurve curve = trace_waits(value, 1.0, {.longest = 1800, .within = 2, .points = 9});
  REQUIRE(curve.shortest);
  CHECK(*curve.shortest == Approx(500 - 400 * std::sqrt(0.5)).margin(2));
  REQUIRE_FALSE(curve.lost_again.empty());
  CHECK(curve.lost_again.back() == 1800);
  for (const double wait : curve.lost_again) CHECK(value(wait) >= 1.0);
  REQUIRE(curve.rise);
  CHECK(curve.rise->to.wait == 1800);
  CHECK(curve.rise->from.value < 0.6);
}

TEST_CASE("A flat curve is not said to rise for its last digits", "[wait]") {
  const auto value = [](double wait) { return 2.13 + 1e-3 * std::sin(wait); };
  CHECK_FALSE(trace_waits(value, 1.0, {}).rise);
}

TEST_CASE("Runs that fail are left out and listed", "[wait]") {
  const auto fails_early = [](double wait) -> std::optional<double> {
    if (wait < 100) return {};
    return 100 / wait;
  };
  const WaitCurve curve = trace_waits(fails_early, 0.5, {.longest = 1800, .within = 5, .points = 9});
  REQUIRE(curve.shortest);
  CHECK(*curve.shortest == Approx(202).margin(5));
  CHECK_FALSE(curve.failed.empty());
  for (const double wait : curve.failed) CHECK(wait < 100);
  const WaitCurve nothing = trace_waits([](double) { return std::optional<double>(); }, 0.5, {});
  CHECK(nothing.points.empty());
  CHECK_FALSE(nothing.shortest);
  CHECK_THROWS_AS(nothing.best(), std::out_of_range);
}
