// A wall of the aluminium mould for cusp tests without filling, under a known pressure: how far its top gives
// way.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace bare_wall {
namespace {

constexpr double height = 4, length = 8;                       // [mm], of the mould in Oper Dent 2016;41:E183
constexpr double modulus = 69'000, poisson = 0.33;             // aluminium
constexpr double pressure_on_wall = 1, shear_share = 5.0 / 6;  // [MPa]; of a rectangular section

/// Top of a clamped wall under a uniform pressure, bending of modulus `bending_modulus` [MPa] and shear [um].
double clamped(double thickness, double bending_modulus, double nu) {
  const double bending =
      pressure_on_wall * std::pow(height, 4) / (8 * bending_modulus * std::pow(thickness, 3) / 12);
  const double shear =
      pressure_on_wall * height * height / (2 * shear_share * modulus / (2 * (1 + nu)) * thickness);
  return 1e3 * (bending + shear);
}

/// The wall alone, held at its foot: a block stiff from the beginning that does not shrink.
SolvedCase wall_alone(double thickness, double nu) {
  return SolvedCase(fmt::format("[specimen]\nkind = \"free-block\"\nlength = {}\nwidth = {}\nheight = {}\n",
                                thickness, length, height) +
                    materials({.composite_modulus = modulus, .composite_poisson = nu, .shrinkage = 0}) +
                    lit_at_once + mesh(0.8, 0.8, 0.8) + linear_solver + hold("z0") +
                    pressure("x0", pressure_on_wall));
}

/// Middle of the upper edge of the wall alone [um].
double top_of(const SolvedCase& solved, double thickness) {
  return 1e3 * FieldProbe(solved.volume()).displacement({thickness / 2, length / 2, height}).x();
}

/// The whole mould before it is filled, pressed from both sides on the walls and on the sides of its base.
SolvedCase mould(double thickness) {
  return SolvedCase(
      fmt::format("[specimen]\nkind = \"flexing-mould\"\nwall_thickness = {}\nbase_thickness = 4.0\n",
                  thickness) +
      materials({.composite_modulus = modulus,
                 .composite_poisson = poisson,
                 .shrinkage = 0,
                 .fixture_modulus = modulus,
                 .fixture_poisson = poisson}) +
      "[plan]\nend = \"1 s\"\nframes = [1.0]\n[[plan.increment]]\nplacing_time = \"60 s\"\nlight = []\n" +
      mesh(1.6, 2.0, 2.0) + linear_solver + hold("bottom") + pressure("y0", pressure_on_wall) +
      pressure("y1", pressure_on_wall));
}

/// Tops of both walls towards the slot, mean [um].
double tops_of(const SolvedCase& solved, double thickness) {
  const FieldProbe probe(solved.volume(1.0));
  const double y = 3 + thickness / 2;
  return 500 *
         (probe.displacement({0, -y, height}, "mould").y() - probe.displacement({0, y, height}, "mould").y());
}

}  // namespace

// Evidence for walls of 1, 2 and 3 mm is the beam's 5.9, 0.88 and 0.33 um. A wall twice as long as high bends
// as a plate instead, whose modulus of bending is E/(1 - nu2): both are held against their own theory.
TEST_CASE("a bare wall of a mould gives way as a clamped plate, without Poisson's ratio as a beam",
          "[verification]") {
  Check check{.chapter = "Closed solutions: walls of a mould",
              .title = "Bare wall 4 mm high, 8 mm long, under 1 MPa",
              .source =
                  "derived: clamped at its foot, bending and shear, for the mould of Oper Dent 2016;41:E183 "
                  "(aluminium, 69 GPa); in brackets worked by hand as a beam of nu 0.33",
              .formula = "w = p h4/(8 E' I) + p h2/(2 k G t), k = 5/6; E' = E for nu 0, else E/(1 - nu2)",
              .mesh = "0.8 mm",
              .tolerance_because =
                  "a foot that cannot warp, and walls nearly as thick as high, are not in the theory",
              .comparisons = {}};
  const std::vector<std::pair<double, const char*>> walls{{1, "5.9"}, {2, "0.88"}, {3, "0.33"}};
  for (const auto& [thickness, by_hand] : walls) {
    const double slender = top_of(wall_alone(thickness, 0), thickness),
                 plate = top_of(wall_alone(thickness, poisson), thickness),
                 beam = clamped(thickness, modulus, poisson);
    check.comparisons.push_back(within_share(fmt::format("{} mm, nu 0", thickness), "um",
                                             clamped(thickness, modulus, 0), slender, 0.03));
    check.comparisons.push_back(within_share(fmt::format("{} mm, nu 0.33", thickness), "um",
                                             clamped(thickness, modulus / (1 - poisson * poisson), poisson),
                                             plate, 0.03));
    check.verdict += fmt::format("{} mm: {:.3f} um, {:+.1f} % from the beam's {:.3f} ({}). ", thickness,
                                 plate, 100 * (plate / beam - 1), beam, by_hand);
  }
  verify(check);
}

TEST_CASE("the foot of a mould's wall turns with its base", "[verification]") {
  Check check{.chapter = "Closed solutions: walls of a mould",
              .title = "Wall of the whole mould, not yet filled, against one clamped",
              .source = "derived: a foot that yields adds to the wall's own bending",
              .formula = "top under 1 MPa from outside, base 4 mm thick, over that of a clamped wall",
              .mesh = "1.6 mm",
              .tolerance_because = "order only",
              .comparisons = {}};
  for (const double thickness : {1.0, 3.0}) {
    const double turned = tops_of(mould(thickness), thickness),
                 held = clamped(thickness, modulus / (1 - poisson * poisson), poisson);
    check.comparisons.push_back(
        at_least(fmt::format("{} mm: over clamped", thickness), "-", 1, turned / held));
    check.verdict += fmt::format("{} mm: {:.2f} um per MPa, clamped {:.2f}. ", thickness, turned, held);
  }
  verify(check);
}

}  // namespace bare_wall
