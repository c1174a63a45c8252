// The bond's tangent against its own law. No outside source is needed: the derivative is compared with
// differences.

#include <catch2/catch.hpp>

#include "solver/bond/bond_tangent.hpp"

namespace setstress {
namespace {

constexpr BondProperties film{.normal_stiffness = 2e5,
                              .shear_stiffness = 6e4,
                              .tensile_strength = 20,
                              .shear_strength = 25,
                              .opening_energy = 0.05,
                              .sliding_energy = 0.12};

BondStep step_by(const Eigen::Vector3d& jump, double duration = 0.1) {
  return {.jump = jump,
          .before = film,
          .now = film,
          .duration = duration,
          .viscous_time = 0.05,
          .may_soften = true};
}

/// Central differences of the traction over 1e-9 mm.
Eigen::Matrix3d measured_tangent(const BondState& state, const Eigen::Vector3d& jump) {
  Eigen::Matrix3d result;
  for (int i = 0; i < 3; ++i) {
    const Eigen::Vector3d h = 1e-9 * Eigen::Vector3d::Unit(i);
    result.col(i) = (respond(state, step_by(jump + h)).state.traction -
                     respond(state, step_by(jump - h)).state.traction) /
                    2e-9;
  }
  return result;
}

}  // namespace

TEST_CASE("the bond's tangent is the derivative of its traction", "[verification][bond]") {
  const BondState softened = respond({}, step_by({2e-3, 3e-3, -4e-3})).state;
  REQUIRE(softened.softening);
  REQUIRE(softened.strength_lost > 0.05);
  REQUIRE(softened.strength_lost < 0.9);
  // Intact, loading on, turning while loading, unloading, unloading while turning, pressed and sliding on.
  const auto [state, jump] = GENERATE_REF(table<BondState, Eigen::Vector3d>({
      {BondState{}, {2e-5, 1e-5, 3e-5}},
      {softened, {1e-3, 1e-3, -1e-3}},
      {softened, {3e-3, -1e-3, 2e-3}},
      {softened, {-1e-3, -1.6e-3, 2e-3}},
      {softened, {-1.5e-3, -1e-3, 2.5e-3}},
      {softened, {-3e-3, 1e-3, -1e-3}},
  }));
  const BondResponse response = respond(state, step_by(jump));
  const Eigen::Matrix3d expected = measured_tangent(state, jump);
  INFO("jump " << jump.transpose() << "\ntangent\n" << response.tangent << "\nmeasured\n" << expected);
  // Differences of tractions near 20 MPa over 2e-9 mm carry 1e-15 x 20 / 2e-9 = 1e-5 MPa/mm of round-off and
  // a truncation of (1e-9 / 1e-4)^2.
  CHECK((response.tangent - expected).norm() <= 1e-7 * expected.norm());
}

TEST_CASE("the stable part of a tangent has no negative stiffness and keeps what is positive", "[bond]") {
  const Eigen::Matrix3d softening =
      respond(respond({}, step_by({2e-3, 3e-3, -4e-3})).state, step_by({3e-4, 3e-4, -4e-4}, 50)).tangent;
  const Eigen::Matrix3d part = stable_part(softening);
  // Nearly without viscous lag traction falls along the pull.
  const Eigen::Vector3d pull(0.5, 0.6, -0.8);
  CHECK(pull.dot(softening * pull) < 0.0);
  CHECK(pull.dot(part * pull) > 0.0);
  CHECK((part - part.transpose()).norm() <= 1e-12 * part.norm());
  const Eigen::Matrix3d stiff = Eigen::Vector3d(2e5, 6e4, 6e4).asDiagonal();
  CHECK((stable_part(stiff) - stiff).norm() <= 1e-12 * stiff.norm());
}

}  // namespace setstress
