#include <catch2/catch.hpp>
#include <cmath>

#include "materials/chains.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

FlowLaw flowing() {
  return {.vitrification = 0.4,
          .volume = 0.25,
          .branches = {{{.share = 0.3, .time_soft = 5, .time_set = 2e4},
                        {.share = 0.2, .time_soft = 50, .time_set = 500}}}};
}

Composite paste(const FlowLaw& flow) {
  Composite composite{};
  composite.stiffness = {.final_modulus = 12'000, .poisson_ratio = 0.3, .gel_point = 0.15, .exponent = 2};
  composite.flow = flow;
  return composite;
}

/// Mean of a modulus over conversions by the midpoint rule.
template <class Modulus>
double mean(double a0, double a1, Modulus modulus) {
  constexpr int parts = 20'000;
  double sum = 0;
  for (int i = 0; i < parts; ++i) sum += modulus(a0 + (a1 - a0) * (i + 0.5) / parts);
  return sum / parts;
}

}  // namespace

TEST_CASE("relaxation slows down with conversion, in proportion in its logarithm", "[materials]") {
  const FlowLaw flow = flowing();
  CHECK(flow.time(0, 0.1) == 5);
  CHECK(flow.time(0, 0.4) == 5);
  CHECK_THAT(flow.time(0, 0.7), WithinRel(std::sqrt(5 * 2e4), 1e-12));
  CHECK_THAT(flow.time(0, 1.0), WithinRel(2e4, 1e-12));
}

TEST_CASE("relaxation times that pass are the integral of dt over the time", "[materials]") {
  const FlowLaw flow = flowing();
  const auto a = GENERATE(std::pair{0.1, 0.3}, std::pair{0.2, 0.9}, std::pair{0.5, 0.97}, std::pair{0.6, 0.6},
                          std::pair{0.7, 0.7 + 1e-11});
  const double passed = flow.elapsed(0, a.first, a.second, 3.0);
  CHECK_THAT(passed,  // the midpoint rule's own error
             WithinRel(3.0 * mean(a.first, a.second, [&](double x) { return 1 / flow.time(0, x); }), 1e-7));
  const double middle = 0.5 * (a.first + a.second);
  CHECK_THAT(flow.elapsed(0, a.first, middle, 1.5) + flow.elapsed(0, middle, a.second, 1.5),
             WithinRel(passed, 1e-6));
}

TEST_CASE("a branch without times is refused", "[materials]") {
  FlowLaw flow;
  flow.vitrification = 0.4;
  CHECK(flow.flows());
  CHECK_THROWS_AS(flow.elapsed(0, 0.1, 0.2, 1.0), std::invalid_argument);
  flow.branches[0] = {.share = 1, .time_soft = 10, .time_set = 9};
  CHECK_THROWS_AS(flow.elapsed(0, 0.1, 0.2, 1.0), std::invalid_argument);
  CHECK_FALSE(FlowLaw{}.flows());
}

TEST_CASE("chains together are as stiff as the composite", "[materials]") {
  const Composite composite = paste(flowing());
  const auto a = GENERATE(std::pair{0.0, 0.3}, std::pair{0.3, 0.8}, std::pair{0.6, 1.0});
  const ChainSteps chains = chain_steps(composite, a.first, a.second, 1.0);
  Moduli sum;
  for (const ChainStep& chain : chains) {
    sum.shear += chain.mean.shear;
    sum.bulk += chain.mean.bulk;
    CHECK(chain.end.shear >= chain.start.shear);
    CHECK(chain.end.bulk >= chain.start.bulk);
  }
  const double modulus = composite.stiffness.mean_modulus(a.first, a.second);
  CHECK_THAT(sum.shear, WithinRel(modulus / 2.6, 1e-12));
  CHECK_THAT(sum.bulk, WithinRel(modulus / 1.2, 1e-12));
}

TEST_CASE("stiffness up to vitrification flows, and of the rest the shares", "[materials]") {
  const Composite composite = paste(flowing());
  const double soft = composite.stiffness.shear_modulus(0.4), whole = composite.stiffness.shear_modulus(0.9);
  const ChainSteps chains = chain_steps(composite, 0.2, 0.9, 1.0);
  CHECK_THAT(chains[1].end.shear, WithinRel(soft + 0.3 * (whole - soft), 1e-12));
  CHECK_THAT(chains[2].end.shear, WithinRel(0.2 * (whole - soft), 1e-12));
  CHECK_THAT(chains[0].end.shear, WithinRel(0.5 * (whole - soft), 1e-12));
  CHECK_THAT(chains[0].start.shear, WithinAbs(0, 1e-12));  // nothing is elastic before vitrification
  for (std::size_t c = 0; c < 3; ++c)
    CHECK_THAT(
        chains[c].mean.shear,
        WithinAbs(mean(0.2, 0.9, [&](double x) { return chain_steps(composite, x, x, 1.0)[c].mean.shear; }),
                  1e-3));  // of 3,000 MPa: the midpoint rule's own error
}

TEST_CASE("unset paste keeps its volume: the bulk modulus leads the shear modulus", "[materials]") {
  StiffnessLaw law = paste({}).stiffness;
  law.unset_poisson_ratio = 0.49;
  law.exponent = GENERATE(0.0, 1.0, 2.0);
  const double set = 12'000 / 1.2;
  CHECK_THAT(law.bulk_modulus(1.0), WithinRel(set, 1e-12));
  // K/G = 2 (1 + nu)/(3 (1 - 2 nu)) = 49.67 at nu 0.49
  CHECK_THAT(law.bulk_modulus(0.1) / law.shear_modulus(0.1), WithinRel(2 * 1.49 / 0.06, 1e-9));
  for (const auto& [a0, a1] : {std::pair{0.0, 0.1}, std::pair{0.05, 0.5}, std::pair{0.2, 0.3},
                               std::pair{0.28, 0.9}, std::pair{0.6, 0.9}})
    CHECK_THAT(law.mean_bulk_modulus(a0, a1),
               WithinRel(mean(a0, a1, [&](double a) { return law.bulk_modulus(a); }), 1e-3));
}
