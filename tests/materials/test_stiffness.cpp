#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "materials/composite.hpp"

using namespace setstress;

namespace {

StiffnessLaw paste(double gel_point, double exponent, double floor = 1e-5) {
  return {.final_modulus = 12000,
          .poisson_ratio = 0.3,
          .gel_point = gel_point,
          .exponent = exponent,
          .floor = floor};
}

/// Stress [MPa] of a rod held at both ends, its modulus and its shrinkage driven by the same conversion.
double held_rod(const StiffnessLaw& law, double shrinkage, const std::vector<double>& conversions) {
  double stress = 0;
  for (std::size_t i = 1; i < conversions.size(); ++i) {
    stress += law.mean_modulus(conversions[i - 1], conversions[i]) * shrinkage *
              (conversions[i] - conversions[i - 1]);
  }
  return stress;
}

std::vector<double> random_steps(unsigned seed, int count) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> anywhere(0.0, 1.0);
  std::vector<double> conversions{0, 1};
  for (int i = 0; i < count; ++i) conversions.push_back(anywhere(random));
  std::sort(conversions.begin(), conversions.end());
  return conversions;
}

}  // namespace

// Modulus that lags the shrinkage as E = E_f (eps/eps_f)^n (Dent Mater 2026;42:1014-1019); integrating over a
// rod of fixed length gives E_f eps_f/(n + 1) (derived).
TEST_CASE("a rod held at both ends ends at E eps/(q + 1) whatever the steps", "[verification]") {
  const double q = GENERATE(0.0, 1.0, 2.0);
  const unsigned seed = GENERATE(1u, 2u, 3u);
  const int steps = GENERATE(0, 7, 2000);
  CAPTURE(q, seed, steps);
  const double stress = held_rod(paste(0, q, 1e-30), 0.002, random_steps(seed, steps));
  CHECK(stress == Approx(12000 * 0.002 / (q + 1)).epsilon(1e-12));  // exact law: round-off of 2000 sums only
}

TEST_CASE("shrinkage before the gel point leaves only the floor's stress", "[verification]") {
  const double gel = 0.15, q = GENERATE(0.5, 1.0, 1.6);
  const StiffnessLaw law = paste(gel, q);
  const double expected =
      12000 * 0.002 * (law.floor + (1 - law.floor) * (1 - gel) / (q + 1));  // integrated by hand
  CHECK(held_rod(law, 0.002, random_steps(4, 500)) == Approx(expected).epsilon(1e-12));
  CHECK(held_rod(law, 0.002, {0, gel}) == Approx(12000 * 0.002 * gel * law.floor).epsilon(1e-12));
}

TEST_CASE("no lag is full stiffness from the start", "[verification]") {
  const StiffnessLaw law = paste(0, 0);
  for (const double a : {0.0, 1e-9, 0.3, 1.0}) CHECK(law.modulus(a) == Approx(12000).epsilon(1e-15));
  CHECK(law.mean_modulus(0, 0) == Approx(12000).epsilon(1e-15));
}

TEST_CASE("modulus is the floor until the gel point, E at full conversion, and never falls",
          "[verification]") {
  const StiffnessLaw law = paste(0.12, 1.3);
  CHECK(law.modulus(0) == Approx(0.12).epsilon(1e-14));
  CHECK(law.modulus(0.12) == Approx(0.12).epsilon(1e-14));
  CHECK(law.modulus(1) == Approx(12000).epsilon(1e-15));
  for (int i = 0; i < 1000; ++i) CHECK(law.modulus(i / 1e3) <= law.modulus((i + 1) / 1e3));
}

TEST_CASE("mean modulus agrees with a fine midpoint sum", "[verification]") {
  const StiffnessLaw law = paste(0.12, GENERATE(0.5, 1.0, 1.7));
  const auto [from, to] = GENERATE(std::pair{0.0, 0.1}, std::pair{0.05, 0.2}, std::pair{0.12, 0.5},
                                   std::pair{0.4, 0.41}, std::pair{0.0, 1.0});
  double sum = 0;
  constexpr int pieces = 200000;
  for (int i = 0; i < pieces; ++i) sum += law.modulus(from + (to - from) * (i + 0.5) / pieces);
  CHECK(law.mean_modulus(from, to) ==
        Approx(sum / pieces).epsilon(1e-6));  // midpoint error at the root of s^0.5
  CHECK(law.mean_modulus(to, from) == law.mean_modulus(from, to));
}

TEST_CASE("mean modulus keeps its figures over tiny steps", "[verification]") {
  const StiffnessLaw law = paste(0.1, 1.4);
  const double a = GENERATE(0.2, 0.55, 0.99);
  for (const double step : {1e-4, 1e-8, 1e-12}) {
    CAPTURE(a, step);
    // the mean over a short step is the value at its middle, up to step^2
    CHECK(law.mean_modulus(a, a + step) ==
          Approx(law.modulus(a + step / 2)).epsilon(step * step * 100 + 1e-12));
  }
}

TEST_CASE("free strain is a third of the volume lost, in proportion to conversion", "[verification]") {
  Composite paste_class{};
  paste_class.volumetric_shrinkage = 0.03;
  CHECK(paste_class.free_strain(1) == Approx(-0.01).epsilon(1e-15));
  CHECK(paste_class.free_strain(0.5) == Approx(-0.005).epsilon(1e-15));
}

TEST_CASE("modulus refuses a conversion outside 0 to 1", "[errors]") {
  CHECK_THROWS_WITH(paste(0, 1).modulus(1.01),
                    Catch::Contains("relative conversion is 1.01 [-]; must be in [0, 1]"));
  CHECK_THROWS_AS(paste(0, 1).mean_modulus(0.2, -0.1), std::invalid_argument);
}
