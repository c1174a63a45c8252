// Fluid in gaps: a ball that shrinks out of a shell leaves a gap all around, which is filled, pressed from
// outside, and drained. Closed solutions from Lame's for the shell (Timoshenko and Goodier, Theory of
// Elasticity, 3rd ed. 1970; from memory).

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace gap_fluid {
namespace {

const Elastic shell{.name = "shell", .youngs_modulus = 18e3, .poisson_ratio = 0.3};
constexpr double ball_poisson = 0.3, a = 2, b = 4;
constexpr double filled_at = 60, ramp = 70, squeeze = 40;  // [s], [s], [MPa]
/// Lets go within 2 um, slowly enough not to snap.
constexpr BondStrength weak{
    .tensile = 1, .shear = 1, .fracture_energy_opening = 1e-3, .fracture_energy_sliding = 1e-3};

/// A ball of modulus `ball` [MPa] lets go of its shell as it shrinks, by 60 s. The shell is squeezed all the
/// time, until 70 s more and more.
Model ball_in_shell(double ball, double conductance, double end) {
  Model model =
      model_of(BallInShell{.ball_radius = a, .shell_radius = b}, {.bond = 0.35, .filling = 0.7, .far = 0.9},
               always_stiff(ball, ball_poisson, 0.004), shell, uniform_adhesive(1e5, 4e4, weak));
  model.fixed = {hold("x0", true, false, false), hold("y0", false, true, false),
                 hold("z0", false, false, true)};
  model.pressures = {{.surface = "outer", .pressure = squeeze, .ramp = ramp}};
  model.gap_fluid = GapFluid{.from = filled_at, .air_leaves_until = filled_at, .lowest_pressure = -0.1};
  model.gap_fluid->conductance.fill(conductance);
  model.timeline.end = end;
  model.timeline.extra_frames = {filled_at, ramp};
  return model;
}

/// By how much shell and ball part at the bond under 1 MPa in the gap, [mm/MPa].
double parted(double ball) {
  const double a3 = a * a * a, b3 = b * b * b;
  const double nu = shell.poisson_ratio;
  return a * (((1 - nu) * (2 * a3 + b3) / (2 * (b3 - a3)) + nu) / shell.youngs_modulus +
              (1 - 2 * ball_poisson) / ball);
}
/// By how much the shell closes in at the bond under 1 MPa from outside [mm/MPa].
double closed_in() {
  const double a3 = a * a * a, b3 = b * b * b;
  return a * (1 - shell.poisson_ratio) * 3 * b3 / (2 * (b3 - a3)) / shell.youngs_modulus;
}

double unaccounted(const Energies& e) {
  return e.shrinkage_work + e.load_work - e.sum_of_sinks();
}

const SolveOptions tight{.mode = Mode::debonding,
                         .largest_time_step = 5,
                         .equilibrium_tolerance = 1e-9,
                         .linear_tolerance = 1e-10};

}  // namespace

// The volume of the gap stays: the shell's u(a) is the ball's, which is 0 for a rigid one. Spheres are
// polyhedra of 0.35 mm sides.
TEST_CASE("fluid that cannot leave keeps its volume and takes the pressure of Lame's shell", "[fluid]") {
  const double ball = GENERATE(10e3, 1e6);
  const Model model = ball_in_shell(ball, 0, ramp);
  Energies filled;
  double volume = 0;
  int frames = 0;
  Frame last;
  (void)simulate(model, tight, [&](const Frame& frame, const Progress&) {
    if (frame.time >= filled_at) {
      REQUIRE(frame.pockets.size() == 1);
      const GapPocket& pocket = frame.pockets.front();
      if (frames++ == 0) volume = pocket.gap_volume, filled = frame.energies;
      CHECK(std::abs(pocket.fluid / volume - 1) < 1e-14);
      CHECK(std::abs(pocket.gap_volume / volume - 1) < 1e-9);
    }
    last = frame;
    return true;
  });
  REQUIRE(frames > 2);
  CHECK(volume > 0);
  const double more = squeeze * (ramp - filled_at) / ramp;
  const double expected = more * closed_in() / parted(ball);
  CAPTURE(ball, volume, last.pockets.front().pressure, expected, last.energies.fluid_work,
          unaccounted(last.energies) - unaccounted(filled));
  CHECK(last.pockets.front().pressure == Approx(expected).epsilon(0.02));
  // What the fluid does on one face it takes from the other, as its volume stays.
  CHECK(std::abs(last.energies.fluid_work) < 1e-9 * last.energies.load_work);
  CHECK(std::abs(unaccounted(last.energies) - unaccounted(filled)) < 1e-6 * last.energies.load_work);
}

// d(volume)/dt = area parted dp/dt = - conductance area p: p = p0 exp(-t/tau) with tau = parted/conductance.
// Steps of 0.02 tau are taken at their ends, (1 + 0.02)^-n, which after tau/2 is 0.5 % above the exponential.
TEST_CASE("fluid drains through the wall as its compliance and conductance say", "[fluid]") {
  constexpr double ball = 10e3, tau = 5, step = 0.1;
  constexpr int steps = 25;
  Model model = ball_in_shell(ball, parted(ball) / tau, ramp + steps * step);
  for (int i = 1; i < steps; ++i) model.timeline.extra_frames.push_back(ramp + i * step);
  Frame start, last;
  double passed = 0;
  (void)simulate(model, tight, [&](const Frame& frame, const Progress&) {
    if (frame.time <= ramp)
      start = frame;
    else
      passed += (frame.time - last.time) * frame.pockets.at(0).outflow;
    last = frame;
    return true;
  });
  REQUIRE(start.time == Approx(ramp));
  REQUIRE(start.pockets.size() == 1);
  REQUIRE(last.pockets.size() == 1);
  const GapPocket &full = start.pockets.front(), &drained = last.pockets.front();
  const double left = drained.pressure / full.pressure;
  CAPTURE(full.pressure, left, last.energies.fluid_work,
          unaccounted(last.energies) - unaccounted(start.energies));
  CHECK(full.pressure > 0.5);
  CHECK(left == Approx(std::pow(1 + step / tau, -steps)).epsilon(0.01));
  CHECK(left == Approx(std::exp(-steps * step / tau)).epsilon(0.015));
  CHECK(passed == Approx(full.gap_volume - drained.gap_volume).epsilon(1e-6));
  CHECK(passed == Approx(full.fluid - drained.fluid).epsilon(1e-9));
  CHECK(passed > 0);
  // Pressure work is what the fluid loses: the mean of p, over the volume that left.
  const double work = last.energies.fluid_work - start.energies.fluid_work;
  CHECK(work == Approx(0.5 * (full.pressure + drained.pressure) * (drained.gap_volume - full.gap_volume))
                    .epsilon(1e-3));
  CHECK(std::abs(unaccounted(last.energies) - unaccounted(start.energies)) < 1e-3 * std::abs(work));
}

TEST_CASE("a gap that is open to the margin keeps no fluid and changes no bit", "[fluid]") {
  constexpr BondStrength brittle{
      .tensile = 20, .shear = 20, .fracture_energy_opening = 0.003, .fracture_energy_sliding = 0.003};
  Model dry = model_of(ButtJoint{.adherend_height = 0.5}, fineness(0.5), always_stiff(8000, 0.3, 0.004),
                       {.name = "plate", .youngs_modulus = 70000, .poisson_ratio = 0.3},
                       uniform_adhesive(2e5, 8e4, brittle));
  dry.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  WallBond& lower = dry.wall_bonds["lower"] = wall_bond(dry.adhesive);
  for (auto& [substrate, strength] : lower.strength) strength = strong;
  dry.timeline.end = 65;
  dry.timeline.extra_frames = {60};
  Model wet = dry;
  wet.gap_fluid = GapFluid{.from = 60, .lowest_pressure = -0.1};
  const Frame a_dry = final_frame(dry, {.mode = Mode::debonding});
  const Frame a_wet = final_frame(wet, {.mode = Mode::debonding});
  int open = 0;
  for (const auto& facet : a_wet.bond)
    for (const BondPoint& point : facet) open += point.debonded();
  CHECK(open > 0);
  CHECK(a_wet.pockets.empty());
  CHECK(a_wet.displacement == a_dry.displacement);
}

TEST_CASE("fluid that cannot be is refused", "[fluid]") {
  Model model = ball_in_shell(10e3, -1, ramp);
  CHECK_THROWS_WITH(final_frame(model, {}), Catch::Contains("must not be below 0"));
  model.gap_fluid->conductance.fill(0);
  model.gap_fluid->filled = 1.5;
  CHECK_THROWS_WITH(final_frame(model, {}), Catch::Contains("must be from 0 to 1"));
}

}  // namespace gap_fluid
