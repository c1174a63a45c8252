// Thick walls under pressure from inside: Lame's solutions (Timoshenko & Goodier, Theory of Elasticity, 3rd
// ed. 1970, ch. 4 and ch. 13; from memory). Dentin, a 2.5 mm, b 5 mm, 10 MPa.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/ladder/inclusions.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace thick_walls {
namespace {

const std::string chapter = "Closed solutions: thick walls";
const std::string source =
    "Lame; Timoshenko and Goodier 1970, Theory of Elasticity (from memory); in brackets by hand";
constexpr double modulus = 18'000, poisson = 0.31, a = 2.5, b = 5, inside = 10;

}  // namespace

TEST_CASE("a thick-walled cylinder under pressure from inside", "[verification]") {
  const bool plane_strain = GENERATE(false, true);
  const SolvedCase solved(
      "[specimen]\nkind = \"elliptic-plate\"\ninner_x = 2.5\ninner_y = 2.5\nouter_x = 5.0\nouter_y = 5.0\n"
      "thickness = 0.6\n[plan]\nend = \"1 s\"\n" +
      fixture_only(modulus, poisson) + mesh(0.2, 0.2, 0.2) + linear_solver + hold("x0", "x") +
      hold("y0", "y") + hold("bottom", "z") + (plane_strain ? hold("top", "z") : "") +
      pressure("inner", inside));
  const FieldProbe probe(solved.volume());
  const double hoop_a = inside * (b * b + a * a) / (b * b - a * a),
               hoop_b = 2 * inside * a * a / (b * b - a * a);
  const double moved = plane_strain ? (1 + poisson) * inside * a * ((1 - 2 * poisson) * a * a + b * b) /
                                          (modulus * (b * b - a * a))
                                    : inside * a * ((b * b + a * a) / (b * b - a * a) + poisson) / modulus;
  const auto hoop = [&](double x) { return probe.stress({x, 0, 0.3}, "solid", {modulus, poisson})(1); };
  verify({.chapter = chapter,
          .title = plane_strain ? "Cylinder, plane strain" : "Cylinder, plane stress",
          .source = source,
          .formula = "hoop stress p (b2+a2)/(b2-a2) at a, 2 p a2/(b2-a2) at b",
          .mesh = solved.mesh_text(),
          .tolerance_because =
              "circles are polygons of 0.2 mm sides; stress at a node is the mean of its elements",
          .comparisons = {
              within_share("hoop stress at a (16.667)", "MPa", hoop_a, hoop(a), 0.01),
              within_share("hoop stress at b (6.667)", "MPa", hoop_b, hoop(b), 0.01),
              within_share(plane_strain ? "displacement of a (0.0026564)" : "displacement of a (0.0027454)",
                           "mm", moved, probe.displacement({a, 0, 0.3}).x(), 0.002)}});
}

// The ball sets in the shell and pulls on it with the tension of its own check; so the signs are turned.
TEST_CASE("a thick-walled sphere", "[verification]") {
  Inclusion ball{.inner = a, .outer = b, .solids = {}};
  ball.solids.shrinkage *= inside / ball.spherical(0);
  const SolvedCase solved(ball_case(ball, "", mesh(0.3, 0.6, 0.4, true)));
  const FieldProbe probe(solved.volume());
  const double a3 = a * a * a, b3 = b * b * b;
  const double hoop_a = inside * (2 * a3 + b3) / (2 * (b3 - a3)), hoop_b = inside * 3 * a3 / (2 * (b3 - a3));
  const double moved = a * ((1 - poisson) * hoop_a + poisson * inside) / modulus;
  const auto hoop = [&](double x) { return -probe.stress({x, 0, 0}, "shell", {modulus, poisson})(1); };
  verify({.chapter = chapter,
          .title = "Sphere, pulled inwards by a setting ball",
          .source = source,
          .formula = "hoop stress p (2a3+b3)/(2(b3-a3)) at a, 3 p a3/(2(b3-a3)) at b; signs turned",
          .mesh = solved.mesh_text(),
          .tolerance_because =
              "spheres are polyhedra of 0.3 mm sides; stress at a node is the mean of its elements",
          .comparisons = {within_share("hoop stress at a (7.1429)", "MPa", hoop_a, hoop(a), 0.02),
                          within_share("hoop stress at b (2.1429)", "MPa", hoop_b, hoop(b), 0.01),
                          within_share("displacement of a (0.0011151)", "mm", moved,
                                       -probe.displacement({a, 0, 0}, "shell").x(), 0.01)}});
}

}  // namespace thick_walls
