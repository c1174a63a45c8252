// Round specimens and the benchmark solids: elements are straight-sided, so volumes and areas approach the
// closed formulas with the square of the element size.

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

#include "mesh/build/build_mesh.hpp"
#include "named.hpp"

using namespace setstress;
using Names = std::vector<std::string>;
using std::numbers::pi;

namespace round_specimens {
namespace {

Approx exactly(double value) {
  return Approx(value).epsilon(1e-10);
}

Mesh build(const Specimen& specimen, double size, double far) {
  return build_mesh(specimen, {.bond = size, .filling = size, .far = far});
}

/// How far chords of length `size` stay inside an arc of that radius, relative to the radius [-]: areas of
/// round walls are about this much off, flat areas bounded by an arc and volumes of cylinders twice, of balls
/// three times.
double sagitta(double size, double radius) {
  return size * size / (8 * radius * radius);
}

/// A measure at two meshes, the second twice as fine, must be within `allowed` of `exact` (relative) and
/// approach it with second order: the error falls to a quarter. Unstructured meshes do not halve every edge,
/// hence to a third at most.
void check_second_order(double coarse, double fine, double exact, double allowed) {
  INFO("coarse " << coarse / exact - 1 << ", fine " << fine / exact - 1);
  CHECK(std::abs(fine - exact) < std::abs(coarse - exact) / 3);
  CHECK(fine == Approx(exact).epsilon(allowed));
}

}  // namespace

TEST_CASE("disc between plates", "[mesh][specimen]") {
  const DiscBetweenPlates disc{.diameter = 5, .height = 1, .plate_thickness = 0.5};
  const Mesh coarse = build(disc, 0.8, 0.8), fine = build(disc, 0.4, 0.4);
  CHECK(named::regions(fine) == Names{"lower plate", "upper plate", "increment 1"});
  CHECK(fine.walls == Names{"lower", "upper"});
  CHECK(named::sorted(named::surfaces(fine)) == Names{"bottom", "side", "top"});
  const double area = pi * 2.5 * 2.5;
  check_second_order(named::volume(coarse, "increment 1"), named::volume(fine, "increment 1"), area,
                     2 * sagitta(0.4, 2.5));
  check_second_order(named::wall(coarse, "lower"), named::wall(fine, "lower"), area, 2 * sagitta(0.4, 2.5));
  CHECK(named::surface(fine, "side") == Approx(pi * 5 * 2).epsilon(sagitta(0.4, 2.5)));
}

TEST_CASE("disc between rigid plates", "[mesh][specimen]") {
  const Mesh mesh = build(DiscBetweenPlates{}, 0.5, 0.5);
  CHECK(named::regions(mesh) == Names{"increment 1"});
  CHECK(mesh.bond.empty());
  CHECK(named::sorted(named::surfaces(mesh)) == Names{"bottom", "side", "top"});
  // Feilzer, de Gee and Davidson, J Dent Res 66 (1987) 1636: C of a disc is diameter over twice its height
  CHECK(configuration_factors(mesh, {"bottom", "top"}).whole.c_factor() ==
        Approx(2.5).epsilon(2 * sagitta(0.5, 2.5)));
}

TEST_CASE("quarter plug in a ring", "[mesh][specimen]") {
  const PlugInRing plug{.plug_radius = 2.5, .ring_radius = 5, .height = 1};
  const Mesh coarse = build(plug, 0.8, 1.2), fine = build(plug, 0.4, 0.6);
  CHECK(named::regions(fine) == Names{"ring", "increment 1"});
  CHECK(fine.walls == Names{"wall"});
  CHECK(named::sorted(named::surfaces(fine)) == Names{"bottom", "outer", "top", "x0", "y0"});
  CHECK(named::surface(fine, "x0") == exactly(5));
  CHECK(named::surface(fine, "y0") == exactly(5));
  check_second_order(named::volume(coarse, "increment 1"), named::volume(fine, "increment 1"),
                     pi / 4 * 2.5 * 2.5, 2 * sagitta(0.4, 2.5));
  check_second_order(named::surface(coarse, "top"), named::surface(fine, "top"), pi / 4 * 25,
                     2 * sagitta(0.6, 5));
  CHECK(named::wall(fine, "wall") == Approx(pi / 2 * 2.5).epsilon(sagitta(0.4, 2.5)));
  CHECK(named::surface(fine, "outer") == Approx(pi / 2 * 5).epsilon(sagitta(0.6, 5)));
}

TEST_CASE("eighth of a ball in a shell", "[mesh][specimen]") {
  const BallInShell ball{.ball_radius = 2, .shell_radius = 4};
  const Mesh coarse = build(ball, 0.7, 1.2), fine = build(ball, 0.35, 0.6);
  CHECK(named::regions(fine) == Names{"shell", "increment 1"});
  CHECK(fine.walls == Names{"wall"});
  CHECK(named::sorted(named::surfaces(fine)) == Names{"outer", "x0", "y0", "z0"});
  const auto whole = [](const Mesh& mesh) {
    return named::volume(mesh, "increment 1") + named::volume(mesh, "shell");
  };
  check_second_order(named::volume(coarse, "increment 1"), named::volume(fine, "increment 1"), pi / 6 * 8,
                     3 * sagitta(0.35, 2));
  check_second_order(whole(coarse), whole(fine), pi / 6 * 64, 3 * sagitta(0.6, 4));
  check_second_order(named::wall(coarse, "wall"), named::wall(fine, "wall"), pi / 2 * 4,
                     2 * sagitta(0.35, 2));
  check_second_order(named::surface(coarse, "z0"), named::surface(fine, "z0"), pi / 4 * 16,
                     2 * sagitta(0.6, 4));
}

TEST_CASE("normals of the round bonds point from the fixture into the filling", "[mesh][specimen]") {
  const Specimen specimen = GENERATE(Specimen(PlugInRing{}), Specimen(BallInShell{}));
  const Mesh mesh = build(specimen, 0.6, 1.2);
  for (const BondFacet& facet : mesh.bond) {
    const Eigen::Vector3d inward = -mesh.nodes[static_cast<size_t>(facet.tooth[0])];
    const Eigen::Vector3d radial =
        specimen.index() == 3 ? Eigen::Vector3d(inward.x(), inward.y(), 0) : inward;
    CHECK(area_and_normal(mesh, facet.tooth).normal.dot(radial.normalized()) > 0.9);
  }
}

// NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), test LE10: geometry.
TEST_CASE("quarter elliptic plate", "[mesh][specimen]") {
  const Mesh coarse = build(EllipticPlate{}, 400, 400), fine = build(EllipticPlate{}, 200, 200);
  CHECK(named::regions(fine) == Names{"solid"});
  CHECK(number_of_increments(fine) == 0);
  CHECK(named::sorted(named::surfaces(fine)) ==
        Names{"bottom", "inner", "outer lower", "outer upper", "top", "x0", "y0"});
  const double area = pi / 4 * (3250.0 * 2750 - 2000.0 * 1000);
  check_second_order(named::volume(coarse, "solid"), named::volume(fine, "solid"), area * 600,
                     2 * sagitta(200, 1000));
  CHECK(named::surface(fine, "top") == Approx(area).epsilon(2 * sagitta(200, 1000)));
  CHECK(named::surface(fine, "x0") == exactly(1750 * 600));
  CHECK(named::surface(fine, "y0") == exactly(1250 * 600));
  CHECK(named::surface(fine, "outer lower") == Approx(named::surface(fine, "outer upper")).epsilon(1e-10));
}

// NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), test LE10: the line that is held upright.
TEST_CASE("the middle line of the elliptic plate's outer face", "[mesh][specimen]") {
  const Mesh mesh = build(EllipticPlate{}, 250, 250);
  const Surface line = meeting_line(mesh, "outer lower", "outer upper", "middle line");
  double length = 0;
  for (const SixNodes& facet : line.facets) {
    for (const int node : facet) CHECK(mesh.nodes[static_cast<size_t>(node)].z() == exactly(300));
    CHECK(area_and_normal(mesh, facet).area < 1e-9);  // mm2; round-off of edges of 250 mm
    length += (mesh.nodes[static_cast<size_t>(facet[1])] - mesh.nodes[static_cast<size_t>(facet[0])]).norm();
  }
  // Ramanujan, Quarterly J Math 45 (1914) 350: perimeter of an ellipse, its first formula, good to 1e-9 here
  const double a = 3250, b = 2750;
  const double perimeter = pi * (3 * (a + b) - std::sqrt((3 * a + b) * (a + 3 * b)));
  CHECK(length == Approx(perimeter / 4).epsilon(sagitta(250, b * b / a)));
  CHECK_THROWS_WITH(meeting_line(mesh, "top", "bottom", "none"), Catch::Contains("do not meet"));
  CHECK_THROWS_WITH(meeting_line(mesh, "top", "lid", "none"), Catch::Contains("lid"));
}

// NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), test LE11: geometry; the volume is the closed
// integral of the meridian section.
TEST_CASE("quarter sphere, taper and cylinder", "[mesh][specimen]") {
  const Mesh coarse = build(TaperedCylinder{1.0}, 0.2, 0.2), fine = build(TaperedCylinder{1.0}, 0.1, 0.1);
  CHECK(named::sorted(named::surfaces(fine)) == Names{"bottom", "inner", "outer", "top", "x0", "y0"});
  const auto below_sphere = [](double r, double z) { return r * r * z - z * z * z / 3; };
  const double c = std::sqrt(1.4 * 1.4 - 0.49), g = std::sqrt(0.5);
  const double outer = below_sphere(1.4, 0.7) + 0.69 * (c * c + c + 1) / 3 + 0.4;
  const double inner = below_sphere(1, g) + 0.5 * (1.79 - g);
  check_second_order(named::volume(coarse, "solid"), named::volume(fine, "solid"), pi / 4 * (outer - inner),
                     3 * sagitta(0.1, 0.7));
  check_second_order(named::surface(coarse, "bottom"), named::surface(fine, "bottom"), pi / 4 * 0.96,
                     2 * sagitta(0.1, 1));
  check_second_order(named::surface(coarse, "top"), named::surface(fine, "top"), pi / 4 * 0.5,
                     2 * sagitta(0.1, 0.7));
}

// Own expectation, no source: well-shaped elements have mean ratios above 0.2; slivers lie near 0.
TEST_CASE("specimens are meshed without slivers", "[mesh][specimen]") {
  const Specimen specimen =
      GENERATE(Specimen(ButtJoint{}), Specimen(DiscBetweenPlates{}), Specimen(BimaterialStrip{}),
               Specimen(PlugInRing{}), Specimen(BallInShell{}), Specimen(FreeBlock{}), Specimen(LapJoint{}),
               Specimen(DoubleCantileverBeam{}), Specimen(LayerOnBase{}));
  CHECK(worst_quality(build_mesh(specimen, fineness(0.5))).mean_ratio > 0.2);
}

}  // namespace round_specimens
