// Maxwell's model at one point: relaxation, creep and constant rate have closed solutions (any text on
// viscoelasticity; derived).
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/body/chain_stress.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

constexpr double shear_modulus = 4000, relaxation = 30;

/// Set composite of one branch that flows in shape alone.
Composite fluid(double time = relaxation) {
  Composite composite{};
  composite.stiffness = {
      .final_modulus = 2.6 * shear_modulus, .poisson_ratio = 0.3, .gel_point = 0, .exponent = 0};
  composite.flow.branches[0] = {.share = 1, .time_soft = time, .time_set = time};
  return composite;
}

const Vector6d pull = (Vector6d() << 1e-3, 2e-4, -4e-4, 3e-4, -1e-4, 2e-4).finished();

Vector6d shape_of(Vector6d v) {
  v.head<3>().array() -= v.head<3>().sum() / 3.0;
  return v;
}

double pressure_of(const Vector6d& stress) {
  return stress.head<3>().sum() / 3.0;
}

/// Stresses after `steps` equal steps in which the strain goes on by `strain` in all, in `duration` [s].
ChainStresses in_steps(const Composite& composite, ChainStresses stresses, const Vector6d& strain,
                       double duration, int steps) {
  const ChainSteps step = chain_steps(composite, 1.0, 1.0, duration / steps);
  for (int i = 0; i < steps; ++i) stresses = after(step, stresses, strain / steps);
  return stresses;
}

/// Stress of a bar, all of whose stress relaxes, that is held while it shrinks and stiffens, as a share of E
/// times its shrinkage: s' = x x' - s/tau with x = 1 - exp(-t/15 s), by `steps` equal steps of the law.
double held_bar(double time, double end, int steps) {
  Composite composite = fluid(time);
  composite.stiffness = {
      .final_modulus = 1, .poisson_ratio = 0, .gel_point = 0, .exponent = 1, .floor = 1e-12};
  composite.flow.volume = 1;
  ChainStresses stresses = no_stress();
  for (int i = 0; i < steps; ++i) {
    const double h = end / steps, a0 = -std::expm1(-i * h / 15), a1 = -std::expm1(-(i + 1) * h / 15);
    Vector6d strain = Vector6d::Zero();
    strain(0) = a1 - a0;
    stresses = after(chain_steps(composite, a0, a1, h), stresses, strain);
  }
  return sum(stresses)(0);
}

/// The same by the classic Runge-Kutta method.
double held_bar_by_equation(double time, double end) {
  const auto rate = [&](double t, double s) {
    return -std::expm1(-t / 15) * std::exp(-t / 15) / 15 - s / time;
  };
  constexpr int steps = 200'000;
  const double h = end / steps;
  double s = 0;
  for (int i = 0; i < steps; ++i) {
    const double t = i * h;
    const double k1 = rate(t, s), k2 = rate(t + h / 2, s + h / 2 * k1), k3 = rate(t + h / 2, s + h / 2 * k2),
                 k4 = rate(t + h, s + h * k3);
    s += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  return s;
}

}  // namespace

TEST_CASE("shape relaxes under a held strain, volume does not", "[verification][solver]") {
  const int steps = GENERATE(1, 7);
  const ChainStresses start = after(chain_steps(fluid(), 1, 1, 0), no_stress(), pull);
  const Vector6d now = sum(in_steps(fluid(), start, Vector6d::Zero(), 45, steps));
  CHECK((shape_of(now) - std::exp(-1.5) * shape_of(sum(start))).norm() < 1e-12);
  CHECK_THAT(pressure_of(now), WithinRel(pressure_of(sum(start)), 1e-12));
}

TEST_CASE("a constant rate of strain is followed exactly whatever the steps", "[verification][solver]") {
  const int steps = GENERATE(1, 3, 100);
  const Vector6d now = sum(in_steps(fluid(), no_stress(), pull, 60, steps));
  const double share = relaxation / 60 * -std::expm1(-60 / relaxation);
  CHECK_THAT(now(3), WithinRel(shear_modulus * share * pull(3), 1e-12));
  CHECK_THAT(shape_of(now)(0), WithinRel(2 * shear_modulus * share * shape_of(pull)(0), 1e-12));
}

TEST_CASE("creep: a strain that goes on at stress over viscosity keeps the stress",
          "[verification][solver]") {
  const ChainStresses start = after(chain_steps(fluid(), 1, 1, 0), no_stress(), pull);
  const Vector6d crept = shape_of(pull) * (75 / relaxation);  // s t/(2 G tau)
  const Vector6d now = sum(in_steps(fluid(), start, crept, 75, GENERATE(1, 4)));
  CHECK((now - sum(start)).norm() < 1e-11);
}

TEST_CASE("slow flow is elastic, fast flow a liquid that bears pressure", "[verification][solver]") {
  const double lame = 2.6 * shear_modulus * 0.3 / (1.3 * 0.4);
  Vector6d elastic;
  elastic.head<3>() =
      2 * shear_modulus * pull.head<3>() + Eigen::Vector3d::Constant(lame * pull.head<3>().sum());
  elastic.tail<3>() = shear_modulus * pull.tail<3>();
  CHECK((sum(in_steps(fluid(1e30), no_stress(), pull, 600, 5)) - elastic).norm() < 1e-11);
  const Vector6d liquid = sum(in_steps(fluid(1e-9), no_stress(), pull, 600, 5));
  CHECK(shape_of(liquid).norm() < 1e-8);
  CHECK_THAT(pressure_of(liquid), WithinRel(pressure_of(elastic), 1e-12));
}

TEST_CASE("what a step puts in is stored, set in or lost to flow", "[verification][solver]") {
  Composite composite = fluid();
  composite.stiffness.exponent = 2;
  composite.stiffness.gel_point = 0.1;
  composite.flow = {.vitrification = 0.4,
                    .volume = 0.5,
                    .branches = {{{.share = 0.3, .time_soft = 1, .time_set = 100},
                                  {.share = 0.3, .time_soft = 2, .time_set = 50}}}};
  const ChainSteps first = chain_steps(composite, 0.2, 0.6, 1), second = chain_steps(composite, 0.6, 0.8, 3);
  const ChainStresses before = after(first, no_stress(), pull), now = after(second, before, -0.3 * pull);
  const ChainEnergies start = energies(first, no_stress(), before), end = energies(second, before, now);
  const double work = 0.5 * (sum(before) + sum(now)).dot(-0.3 * pull);
  CHECK_THAT(end.elastic - start.elastic + end.set_in + end.flow, WithinAbs(work, 1e-12));
  CHECK_THAT(start.elastic + start.set_in + start.flow, WithinAbs(0.5 * sum(before).dot(pull), 1e-12));
  CHECK(start.flow > 0);
}

TEST_CASE("relaxation under a held strain loses what was stored in shape", "[verification][solver]") {
  const ChainSteps step = chain_steps(fluid(), 1, 1, 45);
  const ChainStresses start = after(chain_steps(fluid(), 1, 1, 0), no_stress(), pull);
  const ChainEnergies lost = energies(step, start, after(step, start, Vector6d::Zero()));
  const Vector6d shape = shape_of(sum(start));
  const double stored =
      (shape.head<3>().squaredNorm() + 2 * shape.tail<3>().squaredNorm()) / (4 * shear_modulus);
  CHECK_THAT(lost.flow, WithinRel(stored * -std::expm1(-3.0), 1e-12));  // 1 - exp(-2 t/tau)
}

TEST_CASE("a bar that shrinks, stiffens and flows: error falls with the square of the step",
          "[verification][solver]") {
  const double time = GENERATE(60.0, 300.0);
  const double exact = held_bar_by_equation(time, 90);
  const double coarse = std::abs(held_bar(time, 90, 40) - exact),
               fine = std::abs(held_bar(time, 90, 80) - exact);
  CHECK(fine < 2e-3 * exact);
  CHECK(std::log2(coarse / fine) > 1.9);
  CHECK(std::log2(coarse / fine) < 2.1);
}
