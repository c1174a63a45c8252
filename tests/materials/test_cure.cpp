#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <utility>

#include "materials/composite.hpp"

using namespace setstress;
using Catch::WithinAbs;

namespace {

/// Orders of the classic dimethacrylate mix (Polym Bull 2024;81:4221, doi 10.1007/s00289-023-04832-3).
CureLaw classic_mix() {
  return {.rate = 0.6,
          .reference_irradiance = 1000,
          .irradiance_exponent = 0.5,
          .order_growth = 0.4,
          .order_depletion = 1.6,
          .seed = 1e-3,
          .dark_time = 20,
          .limiting_conversion = 0.6};
}

struct Exposure {
  double irradiance, duration;
};

CureState expose(const CureLaw& law, std::initializer_list<Exposure> light, CureState state = {}) {
  for (const auto& [irradiance, duration] : light) state = advance(law, state, irradiance, duration);
  return state;
}

/// The slow obvious twin: the classic fourth-order method in real time, with the drive at every instant.
double reference_conversion(const CureLaw& law, double a, double drive0, double irradiance, double duration) {
  const double lit =
      irradiance > 0 ? std::pow(irradiance / law.reference_irradiance, law.irradiance_exponent) : 0.0;
  const auto rate = [&](double t, double x) {
    const double drive = std::max(lit, drive0 * std::exp(-t / law.dark_time));
    return cure_rate(law, std::clamp(x, 0.0, 1.0), drive);
  };
  constexpr int steps = 20000;
  const double h = duration / steps;
  for (int i = 0; i < steps; ++i) {
    const double t = i * h;
    const double k1 = rate(t, a), k2 = rate(t + h / 2, a + h / 2 * k1);
    const double k3 = rate(t + h / 2, a + h / 2 * k2), k4 = rate(t + h, a + h * k3);
    a += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  return a;
}

}  // namespace

// d/da [a^m (1 - a)^n] = 0 at a = m/(m + n) (calculus); orders m = 0.4, n = 1.6 from Polym Bull 2024;81:4221,
// doi 10.1007/s00289-023-04832-3.
TEST_CASE("the cure is fastest at a = m/(m + n) = 0.2", "[verification]") {
  CureLaw law = classic_mix();
  law.seed = 1e-9;  // moves the peak by about the seed itself
  double fastest = 0, at = 0;
  for (int i = 0; i <= 100000; ++i) {
    const double a = i / 1e5;
    if (const double rate = cure_rate(law, a, 1); rate > fastest) fastest = rate, at = a;
  }
  CHECK(at == Approx(0.2).margin(1.1e-5));  // one sampling interval
  CHECK(fastest == Approx(0.6 * std::pow(0.2, 0.4) * std::pow(0.8, 1.6)).epsilon(1e-8));
}

TEST_CASE("the rate grows with the square root of the light", "[verification]") {
  const CureLaw law = classic_mix();  // steady state with two-radical termination (textbook, from memory)
  const CureState dim = advance(law, {}, 250, 1e-9), bright = advance(law, {}, 1000, 1e-9);
  CHECK(bright.drive / dim.drive == Approx(2).epsilon(1e-14));
}

TEST_CASE("advance agrees with a fine fourth-order integration to 1e-6", "[verification]") {
  CureLaw law = classic_mix();
  law.order_growth = GENERATE(0.0, 0.4, 1.0, 2.0);
  law.order_depletion = GENERATE(0.5, 1.0, 1.6, 4.0);
  const Exposure light = GENERATE(Exposure{1000, 0.8}, Exposure{1000, 5}, Exposure{60, 40}, Exposure{0, 30});
  const CureState start{.conversion = 0.01, .drive = 0.7};
  CAPTURE(law.order_growth, law.order_depletion, light.irradiance, light.duration);
  const CureState end = expose(law, {light}, start);
  // 1e-6 is what advance promises
  CHECK(std::abs(end.conversion - reference_conversion(law, 0.01, 0.7, light.irradiance, light.duration)) <
        1e-6);
}

// Found by a search over starts and durations: without a longest sub-step these are off by 2.3e-5, 2.7e-5 and
// 1.4e-4, though fourth and fifth order of every sub-step agree to 1e-8.
TEST_CASE("advance keeps to 1e-6 where the orders of one long step agree by chance", "[verification]") {
  const CureLaw law = classic_mix();
  const auto [start, duration] =
      GENERATE(std::pair{0.001, 7.55}, std::pair{0.062, 1.12}, std::pair{0.264, 3.1});  // [-], [s]
  CAPTURE(start, duration);
  const CureState end = advance(law, {.conversion = start, .drive = 1}, 1000, duration);
  CHECK(std::abs(end.conversion - reference_conversion(law, start, 1, 1000, duration)) < 1e-6);
}

TEST_CASE("the fastest rate ahead is the peak, and behind the peak the rate now", "[verification]") {
  CureLaw law = classic_mix();
  law.seed = 1e-9;  // the peak lies at 0.2 (above), moved by about the seed itself
  CHECK(fastest_rate_ahead(law, 0.05) == Approx(cure_rate(law, 0.2, 1)).epsilon(1e-14));
  CHECK(fastest_rate_ahead(law, 0.7) == cure_rate(law, 0.7, 1));
}

// m = 0, n = 1 and no seed: a = 1 - exp(-tau); n = 2: a = tau/(1 + tau) (integrated by hand).
TEST_CASE("advance agrees with the closed forms of first and second order", "[verification]") {
  CureLaw law = classic_mix();
  law.order_growth = 0;
  const double tau = 0.6 * 0.5 * 7;  // drive 0.5 at a quarter of the reference light
  law.order_depletion = 1;
  CHECK(std::abs(expose(law, {{250, 7}}).conversion - -std::expm1(-tau)) < 1e-6);
  law.order_depletion = 2;
  CHECK(std::abs(expose(law, {{250, 7}}).conversion - tau / (1 + tau)) < 1e-6);
}

TEST_CASE("many steps are one step", "[verification]") {
  const CureLaw law = classic_mix();
  std::mt19937 random(7);  // seed 7
  std::uniform_real_distribution<double> share(0.0, 1.0);
  const double irradiance = GENERATE(1000.0, 5.0, 0.0);
  const CureState start{.conversion = 0.05, .drive = 0.9};
  const CureState whole = advance(law, start, irradiance, 60);
  CureState state = start;
  double left = 60;
  for (int i = 0; i < 200; ++i) {
    const double piece = i == 199 ? left : left * share(random) * 0.05;
    state = advance(law, state, irradiance, piece);
    left -= piece;
  }
  CHECK(state.drive == Approx(whole.drive).epsilon(1e-12));
  CHECK(std::abs(state.conversion - whole.conversion) < 1e-6);
}

TEST_CASE("the drive decays in the dark with its own time constant", "[verification]") {
  const CureLaw law = classic_mix();
  const CureState lit = expose(law, {{1000, 5}});
  CHECK(lit.drive == Approx(1).epsilon(1e-14));
  CHECK(expose(law, {{0, 20}}, lit).drive == Approx(std::exp(-1.0)).epsilon(1e-13));
  const CureState later = expose(law, {{0, 20}}, lit), much_later = expose(law, {{0, 1e6}}, lit);
  CHECK(later.conversion > lit.conversion + 0.01);
  CHECK(much_later.conversion > later.conversion);
  CHECK(much_later.conversion < 1);
}

TEST_CASE("light weaker than the remaining drive does not slow the cure", "[verification]") {
  const CureLaw law = classic_mix();
  const CureState lit = expose(law, {{1000, 2}});
  const CureState dark = expose(law, {{0, 3}}, lit), dim = expose(law, {{10, 3}}, lit);
  CHECK(dim.drive == dark.drive);  // 10 mW/cm2 alone keeps up a tenth, still less than what is left
  CHECK(dim.conversion == dark.conversion);
  CHECK(expose(law, {{10, 1000}}, lit).drive == Approx(0.1).epsilon(1e-14));
}

TEST_CASE("without light nothing cures, whatever the irradiance exponent", "[verification]") {
  CureLaw law = classic_mix();
  law.irradiance_exponent = GENERATE(0.0, 0.5, 1.0);
  const CureState state = advance(law, {}, 0, 1e4);
  CHECK(state.conversion == 0);
  CHECK(state.drive == 0);
}

TEST_CASE("conversion never falls and never passes 1", "[verification]") {
  CureLaw law = classic_mix();
  law.order_depletion = GENERATE(0.1, 0.5, 1.0, 1.6);
  CureState state{};
  for (const double duration : {1e-6, 0.01, 0.3, 1.0, 2.0, 5.0, 20.0, 300.0, 1e5}) {
    const CureState next = advance(law, state, 2000, duration);
    CHECK(next.conversion >= state.conversion);
    CHECK(next.conversion <= 1);
    state = next;
  }
  CHECK(state.conversion > 0.999);
  CHECK(advance(law, {.conversion = 1, .drive = 1}, 2000, 10).conversion == 1);
}

TEST_CASE("cure refuses what cannot be", "[errors]") {
  const CureLaw law = classic_mix();
  CHECK_THROWS_WITH(advance(law, {.conversion = 1.2}, 0, 1),
                    Catch::Contains("relative conversion [-] is 1.2"));
  CHECK_THROWS_WITH(advance(law, {.drive = -1}, 0, 1), Catch::Contains("drive [-] is -1; must be 0 or more"));
  CHECK_THROWS_WITH(advance(law, {}, -1, 1), Catch::Contains("irradiance [mW/cm2] is -1"));
  CHECK_THROWS_WITH(advance(law, {}, 1, -1), Catch::Contains("duration [s] is -1"));
  CHECK_THROWS_AS(cure_rate(law, -0.1, 1), std::invalid_argument);
  CureLaw unset = law;
  unset.rate = std::nan("");
  CHECK_THROWS_WITH(advance(unset, {}, 1000, 1), Catch::Contains("rate of the cure law"));
}

// drive' = (lit - drive)/dark_time: closed solution, derived.
TEST_CASE("with a dark share, what cures in the dark follows what was lit", "[verification][materials]") {
  CureLaw law = classic_mix();
  law.dark_share = 0.25;
  const double lit_for = GENERATE(1.0, 5.0, 20.0, 60.0);
  // Depletion of the first order and no growth: -log(1 - a) is k times the driven time.
  law.order_growth = 0;
  law.order_depletion = 1;
  law.rate = 0.02;
  const auto driven = [&](const CureState& state) { return -std::log(1 - state.conversion) / law.rate; };
  const CureState off = expose(law, {{1000, lit_for}}), end = expose(law, {{1000, lit_for}, {0, 2000}});
  const double late = 0.25 * 20 * -std::expm1(-lit_for / 20);
  CHECK_THAT(driven(off), WithinAbs(lit_for - late, 1e-3));
  CHECK_THAT(driven(end), WithinAbs(lit_for, 1e-3));  // the dose is the time lit, whatever part comes late
  const CureState in_parts = expose(law, {{1000, 0.4 * lit_for}, {1000, 0.6 * lit_for}, {0, 3}, {0, 1997}});
  CHECK_THAT(in_parts.conversion, WithinAbs(end.conversion, 1e-6));
}
