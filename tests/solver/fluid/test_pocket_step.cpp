// Pressures beside displacements: the Schur complement against the bordered system solved as a whole. No
// source needed: linear algebra on a small body of springs.

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "solver/fluid/pocket_step.hpp"

using namespace setstress;

namespace {

/// Two pairs of springs, each the mirror image of the other.
Eigen::MatrixXd springs() {
  Eigen::MatrixXd k(4, 4);
  k << 5, -1, -0.5, 0.2, -1, 4, 0.2, -0.3, -0.5, 0.2, 5, -1, 0.2, -0.3, -1, 4;
  return k;
}

Pocket pocket(const Eigen::Vector4d& push, double conductance) {
  return {.points = {0},
          .area = 1,
          .conductance = conductance,
          .push = push,
          .gap_volume = 0.01,
          .fluid = 0.01,
          .full = true};
}

/// Displacements and pressures in balance with `load`, as a run finds them.
Eigen::VectorXd balanced(const std::vector<Pocket>& pockets, const GapFluid& law, double duration,
                         const Eigen::VectorXd& load, std::vector<double>& pressures) {
  const Eigen::PartialPivLU<Eigen::MatrixXd> body(springs());
  PocketStep step(pockets, law, duration);
  Eigen::VectorXd moved = Eigen::VectorXd::Zero(4);
  for (int i = 0; i < 4 && !(i > 0 && step.settle(moved)); ++i) {
    Eigen::VectorXd correction = body.solve(load + step.forces() - springs() * moved);
    std::vector<Eigen::VectorXd> yields;
    for (const std::size_t k : step.unknown()) yields.push_back(body.solve(step.push(k)));
    if (!step.unknown().empty()) step.correct(moved, yields, correction);
    moved += correction;
  }
  REQUIRE(step.settle(moved));
  std::vector<Pocket> after = pockets;
  step.commit(moved, after);
  for (const Pocket& one : after) pressures.push_back(one.pressure);
  return moved;
}

const Eigen::Vector4d on_first(-1, 0.5, 0, 0), on_second(0, 0, -1, 0.5), load(0.02, -0.01, 0.02, -0.01);

}  // namespace

TEST_CASE("pressures are those of the bordered system solved as a whole", "[fluid]") {
  constexpr double duration = 0.1;
  const GapFluid law{.pulp_pressure = 1e-4, .lowest_pressure = -10};
  const std::vector<Pocket> pockets{pocket(on_first, 0.3), pocket(on_second, 0.7)};
  Eigen::VectorXd own(4);
  own << 0.02, 0.01, -0.01, 0.03;
  std::vector<double> pressures;
  const Eigen::VectorXd moved = balanced(pockets, law, duration, own, pressures);
  Eigen::MatrixXd whole = Eigen::MatrixXd::Zero(6, 6);
  Eigen::VectorXd right(6);
  whole.topLeftCorner(4, 4) = springs();
  right.head(4) = own;
  for (Eigen::Index k = 0; k < 2; ++k) {
    const Pocket& one = pockets[static_cast<std::size_t>(k)];
    whole.block(0, 4 + k, 4, 1) = -one.push;
    whole.block(4 + k, 0, 1, 4) = one.push.transpose();
    whole(4 + k, 4 + k) = duration * one.conductance;
    right(4 + k) = duration * one.conductance * law.pulp_pressure;
  }
  const Eigen::VectorXd expected = whole.partialPivLu().solve(right);
  CHECK((moved - expected.head(4)).norm() < 1e-13 * expected.norm());
  for (std::size_t k = 0; k < 2; ++k)
    CHECK(pressures[k] == Approx(expected(4 + static_cast<Eigen::Index>(k))).epsilon(1e-11));
}

TEST_CASE("two equal pockets move as one that holds both", "[fluid]") {
  const GapFluid law{.lowest_pressure = -10};
  std::vector<double> two, one;
  const Eigen::VectorXd apart =
      balanced({pocket(on_first, 0.3), pocket(on_second, 0.3)}, law, 0.1, load, two);
  Pocket joint = pocket(on_first + on_second, 0.6);
  joint.gap_volume = joint.fluid = 0.02;
  const Eigen::VectorXd together = balanced({joint}, law, 0.1, load, one);
  CHECK((apart - together).norm() < 1e-13 * together.norm());
  CHECK(two[0] == Approx(two[1]).epsilon(1e-12));
  CHECK(one[0] == Approx(two[0]).epsilon(1e-12));
}

TEST_CASE("a gap pulled open holds fluid at its lowest pressure, and air at none", "[fluid]") {
  const GapFluid law{.lowest_pressure = -1e-3};
  for (const bool air : {false, true}) {
    Pocket pulled = pocket(on_first, 0);
    pulled.air = air;
    std::vector<double> pressures;
    const Eigen::VectorXd moved = balanced({pulled}, law, 0.1, -load, pressures);
    CHECK(pressures[0] == (air ? 0.0 : law.lowest_pressure));
    CHECK(on_first.dot(moved) > 0);  // the gap is wider than its fluid
  }
}
