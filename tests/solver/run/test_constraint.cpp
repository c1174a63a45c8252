// Limits that follow from Hooke's law (any elasticity text; derived): E 10,000 MPa, nu 0.3, linear shrinkage
// 0.002.
#include <catch2/catch.hpp>

#include "tests/solver/model_of.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

Model block(std::vector<FixedSurface> holds) {
  Model model = model_of(FreeBlock{}, fineness(0.5), always_stiff(10'000, 0.3, 0.002), Elastic{"none", 1, 0},
                         uniform_adhesive(1e5, 1e5, strong));
  model.fixed = std::move(holds);
  return model;
}

/// Largest difference of one stress component from `expected` over the whole block [MPa].
double worst(const Frame& frame, int component, double expected) {
  double difference = 0;
  for (const auto& element : frame.stress)
    for (const Vector6d& s : element) difference = std::max(difference, std::abs(s(component) - expected));
  return difference;
}

}  // namespace

TEST_CASE("a free block shrinks without stress", "[verification][solver]") {
  const Frame frame = final_frame(
      block({hold("x0", true, false, false), hold("y0", false, true, false), hold("z0", false, false, true)}),
      {});
  for (int c = 0; c < 6; ++c) CHECK(worst(frame, c, 0.0) < 1e-4);  // of 20 MPa: linear tolerance
}

TEST_CASE("shrinkage held along one, two and three axes", "[verification][solver]") {
  SECTION("one axis: E e = 20 MPa") {
    const Frame frame = final_frame(block({hold("x0", true, false, false), hold("x1", true, false, false),
                                           hold("y0", false, true, false), hold("z0", false, false, true)}),
                                    {});
    CHECK(worst(frame, 0, 20.0) < 1e-3);
    CHECK(worst(frame, 1, 0.0) < 1e-3);
  }
  SECTION("two axes: E e/(1 - nu) = 28.57 MPa") {
    const Frame frame = final_frame(
        block({hold("x0", true, false, false), hold("x1", true, false, false), hold("y0", false, true, false),
               hold("y1", false, true, false), hold("z0", false, false, true)}),
        {});
    CHECK(worst(frame, 0, 20.0 / 0.7) < 1e-3);
    CHECK(worst(frame, 1, 20.0 / 0.7) < 1e-3);
    CHECK(worst(frame, 2, 0.0) < 1e-3);
  }
  SECTION("three axes: E e/(1 - 2 nu) = 50 MPa") {
    const Frame frame = final_frame(block({hold("x0", true, false, false), hold("x1", true, false, false),
                                           hold("y0", false, true, false), hold("y1", false, true, false),
                                           hold("z0", false, false, true), hold("z1", false, false, true)}),
                                    {});
    for (int c = 0; c < 3; ++c) CHECK(worst(frame, c, 50.0) < 1e-3);
  }
}

// Modulus lag (E = E_f (eps/eps_f)^n): a rod held at both ends ends at E_f eps_f/(n + 1); derived from
// d(sigma) = E d(eps); the law is that of Dent Mater 2026;42:1014-1019.
TEST_CASE("stiffness that lags shrinkage leaves E eps/(q + 1)", "[verification][solver]") {
  const double q = GENERATE(0.0, 1.0, 2.0);
  Model model = block({hold("x0", true, false, false), hold("x1", true, false, false),
                       hold("y0", false, true, false), hold("z0", false, false, true)});
  auto& composite = std::get<Composite>(model.materials.front());
  composite.stiffness.exponent = q;
  composite.stiffness.floor = 1e-6;
  Outcome outcome;
  const Frame frame = final_frame(model, {}, &outcome);
  CHECK(worst(frame, 0, 20.0 / (q + 1.0)) < 1e-3);
  CHECK(outcome.largest_energy_error < 1e-5);
}
