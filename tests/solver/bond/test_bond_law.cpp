// The traction law at one point. Facts are derived from its definition: linear softening after the onset,
// dissipated energy equal to the fracture energy, no healing, compression through a closed crack.
#include <catch2/catch.hpp>

#include <cmath>

#include "solver/bond/bond_law.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace bond_law {
namespace {

constexpr BondProperties film{.normal_stiffness = 200'000,
                              .shear_stiffness = 60'000,
                              .tensile_strength = 20,
                              .shear_strength = 25,
                              .opening_energy = 0.05,
                              .sliding_energy = 0.09};

BondStep step_of(const Eigen::Vector3d& jump, double viscous_time = 0.0) {
  return {.jump = jump,
          .before = film,
          .now = film,
          .duration = 0.01,
          .viscous_time = viscous_time,
          .may_soften = true};
}

struct Pulled {
  BondState state;
  double fracture = 0, viscous = 0, elastic = 0, work = 0, largest_demand = 0;
};

/// Pulls in equal steps to `jump` [mm].
Pulled pull(const Eigen::Vector3d& jump, int steps, double viscous_time = 0.0, BondState from = {}) {
  Pulled result{.state = from};
  for (int i = 0; i < steps; ++i) {
    const BondStep step = step_of(jump / steps, viscous_time);
    const BondState next = respond(result.state, step).state;
    const BondEnergies energies = energy_of_step(result.state, next, step);
    result.fracture += energies.fracture;
    result.viscous += energies.viscous;
    result.elastic = energies.elastic;
    result.work += 0.5 * (result.state.traction + next.traction).dot(step.jump);
    result.state = next;
    result.largest_demand =
        std::max(result.largest_demand, demand(next.traction, film.tensile_strength, film.shear_strength));
  }
  return result;
}

}  // namespace

TEST_CASE("energy under the traction-separation curve is the fracture energy", "[verification][bond]") {
  SECTION("opening") {
    const Pulled pulled = pull({0.02, 0, 0}, 20'000);
    CHECK_THAT(pulled.work, WithinRel(0.05, 2e-3));  // steps of 1e-6 mm against a peak at 1e-4 mm
    CHECK_THAT(pulled.fracture, WithinRel(0.05, 2e-3));
    CHECK(pulled.state.strength_lost == 1.0);
    CHECK_THAT(pulled.largest_demand, WithinRel(1.0, 0.02));  // overshoot of one step
  }
  SECTION("sliding, any direction") {
    const double angle = GENERATE(0.0, 0.7, 2.0);
    const Pulled pulled = pull({0, 0.02 * std::cos(angle), 0.02 * std::sin(angle)}, 20'000);
    CHECK_THAT(pulled.work, WithinRel(0.09, 2e-3));
    CHECK_THAT(pulled.fracture, WithinRel(0.09, 2e-3));
  }
  SECTION("mixed: 1/G = share_I/G_I + share_II/G_II, shares of elastic energy") {
    const Eigen::Vector3d direction(0.01, 0.01, 0.005);
    const double opening = film.normal_stiffness * direction(0) * direction(0);
    const double sliding = film.shear_stiffness * direction.tail<2>().squaredNorm();
    const double share = opening / (opening + sliding);
    const Pulled pulled = pull(direction, 20'000);
    CHECK_THAT(pulled.fracture, WithinRel(1.0 / (share / 0.05 + (1 - share) / 0.09), 2e-3));
  }
  SECTION("any initial stiffness") {
    BondProperties soft = film;
    soft.normal_stiffness = 10'000;
    BondState state;
    double work = 0;
    for (int i = 0; i < 20'000; ++i) {
      BondStep step = step_of({1e-6, 0, 0});
      step.before = step.now = soft;
      const BondState next = respond(state, step).state;
      work += 0.5 * (state.traction + next.traction).dot(step.jump);
      state = next;
    }
    CHECK_THAT(work, WithinRel(0.05, 2e-3));
  }
}

TEST_CASE("what the regularisation costs is reported and vanishes with its time constant", "[bond]") {
  const double viscous_time = GENERATE(0.05, 0.005);
  const Pulled pulled = pull({0.02, 0, 0}, 20'000, viscous_time);  // 200 s in all
  CHECK(pulled.viscous > 0.0);
  CHECK(pulled.viscous <
        0.05 * viscous_time);  // opens 5e-3 mm in 50 s: lags by viscous_time/50 s of the opening
  CHECK_THAT(pulled.fracture, WithinRel(0.05, 5e-3));
  CHECK_THAT(pulled.fracture + pulled.viscous, WithinRel(pulled.work - pulled.elastic, 1e-9));
}

TEST_CASE("damage never heals, and a damaged film unloads to the origin", "[bond]") {
  const Pulled half = pull({0.002, 0, 0}, 2'000);
  REQUIRE(half.state.damage > 0.5);
  REQUIRE(half.state.strength_lost < 1.0);
  const Pulled back = pull({-0.002, 0, 0}, 10, 0.0, half.state);
  CHECK(back.state.damage == half.state.damage);
  CHECK_THAT(back.state.traction.norm(), WithinAbs(0.0, 1e-9));
  const Pulled again = pull({0.002, 0, 0}, 10, 0.0, back.state);
  CHECK_THAT(again.state.traction(0), WithinRel(half.state.traction(0), 1e-9));
}

TEST_CASE("a closed crack carries compression at full stiffness", "[bond]") {
  const Pulled open = pull({0.02, 0, 0}, 2'000);
  REQUIRE(open.state.strength_lost == 1.0);
  const Pulled closed = pull({-0.0201, 0, 0}, 201, 0.0, open.state);
  CHECK_THAT(closed.state.traction(0), WithinRel(-0.0001 * film.normal_stiffness, 1e-6));
}

TEST_CASE("compression alone never softens the bond", "[bond]") {
  const Pulled pressed = pull({-0.01, 0, 0}, 100);
  CHECK_FALSE(pressed.state.softening);
  CHECK_THAT(pressed.state.traction(0), WithinRel(-0.01 * film.normal_stiffness, 1e-12));
}

TEST_CASE("a film that stiffens keeps its traction and loses recoverable energy", "[bond]") {
  BondStep step = step_of({5e-5, 0, 0});
  const BondState loaded = respond({}, step).state;
  step.jump.setZero();
  step.now.normal_stiffness *= 2;
  const BondState stiffened = respond(loaded, step).state;
  CHECK(stiffened.traction == loaded.traction);
  const BondEnergies energies = energy_of_step(loaded, stiffened, step);
  CHECK_THAT(energies.set_in, WithinRel(0.25 * 10.0 * 5e-5, 1e-12));  // half of t d / 2
}

TEST_CASE("unloading along the pull, the tangent is the derivative of the traction", "[derivative][bond]") {
  const BondState half = pull({0.002, 0, 0}, 2'000).state;
  const Eigen::Vector3d jump(-1e-6, 0, 0);
  const BondResponse at = respond(half, step_of(jump));
  for (int c = 0; c < 3; ++c) {
    const Eigen::Vector3d nudge = 1e-9 * Eigen::Vector3d::Unit(c);
    const Eigen::Vector3d slope = (respond(half, step_of(jump + nudge)).state.traction -
                                   respond(half, step_of(jump - nudge)).state.traction) /
                                  2e-9;
    for (int r = 0; r < 3; ++r)
      CHECK_THAT(at.tangent(r, c), WithinAbs(slope(r), 1e-4 * film.shear_stiffness));
  }
}

TEST_CASE("a change of direction makes the traction turn, never jump", "[bond]") {
  BondState state = pull({0.002, 0, 0}, 2'000).state;  // well into softening, opening
  double lost = state.strength_lost, largest_change = 0.0;
  for (int i = 0; i < 4'000; ++i) {  // closes and slides until sliding softens it further
    const BondState next = respond(state, step_of({i < 2'000 ? -1e-6 : 0.0, 2e-6, 0})).state;
    largest_change = std::max(largest_change, (next.traction - state.traction).norm());
    REQUIRE(next.strength_lost >= lost);
    lost = next.strength_lost;
    state = next;
  }
  CHECK(lost == 1.0);
  CHECK(largest_change < 0.2);  // of 10 MPa carried, in a step of a thousandth of the way
}

TEST_CASE("too little fracture energy for the film is refused", "[bond]") {
  BondProperties brittle = film;
  brittle.opening_energy = 0.0005;  // S^2/(2k) = 0.001 N/mm
  CHECK_THROWS_WITH(end_of_softening({1, 0, 0}, brittle), Catch::Contains("fracture energy is 0.0005 N/mm"));
}

}  // namespace bond_law
