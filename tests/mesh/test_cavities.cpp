// Volumes and wall areas of every preparation against closed formulas, derived from the definition of the
// shapes: a wall at horizontal distance o(z) = z tan(taper) from its place at the floor.

#include <catch2/catch.hpp>

#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;
using Kind = Preparation::Kind;

namespace {

constexpr double round_off = 1e-8;  // flat faces are meshed exactly

/// Rectangle a x b at the bottom whose four sides lean outward by `slope` over the height h.
double frustum_volume(double a, double b, double h, double slope) {
  return a * b * h + (a + b) * slope * h * h + 4.0 / 3.0 * slope * slope * h * h * h;
}

/// Wall of width w at the floor that widens at both ends by `slope` and leans by the same.
double wall_area(double w, double h, double slope) {
  return (w * h + slope * h * h) * std::hypot(1, slope);
}

Preparation sharp(Kind kind, double taper) {
  return {.kind = kind,
          .depth = 4,
          .length = kind == Kind::occlusal_box ? 3.5 : 1.8,
          .width = 3,
          .diameter = 4,
          .step_depth = 2,
          .step_length = 2.5,
          .step_width = 2.2,
          .taper = taper,
          .line_angle_radius = 0};
}

}  // namespace

TEST_CASE("A sharp occlusal box is a frustum", "[verification][mesh]") {
  const double taper = GENERATE(0.0, 3.0, 8.0, -4.0);
  const double s = std::tan(radians(taper));
  const Mesh mesh = build_mesh(tooth_with(sharp(Kind::occlusal_box, taper)), fineness("coarse"));
  CHECK(volume_of_filling(mesh) == Approx(frustum_volume(3.5, 3, 4, s)).epsilon(round_off));
  CHECK(whole_wall(mesh, "floor").area == Approx(3.5 * 3).epsilon(round_off));
  for (const char* wall : {"buccal", "lingual"})
    CHECK(whole_wall(mesh, wall).area == Approx(wall_area(3.5, 4, s)).epsilon(round_off));
  for (const char* wall : {"mesial", "distal"})
    CHECK(whole_wall(mesh, wall).area == Approx(wall_area(3, 4, s)).epsilon(round_off));
}

TEST_CASE("A bevel adds a frustum that opens at 45 degrees", "[verification][mesh]") {
  Preparation preparation = sharp(Kind::occlusal_box, 3);
  preparation.bevel = 0.6;
  const double s = std::tan(radians(3)), below = 4 - 0.6;
  const double a = 3.5 + 2 * below * s, b = 3 + 2 * below * s;
  const Mesh mesh = build_mesh(tooth_with(preparation), fineness("coarse"));
  CHECK(volume_of_filling(mesh) ==
        Approx(frustum_volume(3.5, 3, below, s) + frustum_volume(a, b, 0.6, 1)).epsilon(round_off));
  CHECK(whole_wall(mesh, "bevel").area ==
        Approx(2 * wall_area(a, 0.6, 1) + 2 * wall_area(b, 0.6, 1)).epsilon(round_off));
  CHECK(whole_wall(mesh, "buccal").area == Approx(wall_area(3.5, below, s)).epsilon(round_off));
}

TEST_CASE("A sharp proximal box leans away from its open side only", "[verification][mesh]") {
  const double taper = GENERATE(0.0, 3.0);
  const Side side = GENERATE(Side::mesial, Side::distal);
  Preparation preparation = sharp(Kind::proximal_box, taper);
  preparation.side = side;
  const double s = std::tan(radians(taper)), lean = std::hypot(1, s);
  const Mesh mesh = build_mesh(tooth_with(preparation), fineness("coarse"));
  CHECK(volume_of_filling(mesh) ==
        Approx(1.8 * 3 * 4 + (3 + 2 * 1.8) * s * 8 + 2.0 / 3.0 * s * s * 64).epsilon(round_off));
  CHECK(whole_wall(mesh, "floor").area == Approx(1.8 * 3).epsilon(round_off));
  CHECK(whole_wall(mesh, "axial").area == Approx(wall_area(3, 4, s)).epsilon(round_off));
  CHECK(whole_wall(mesh, "buccal").area == Approx((1.8 * 4 + s * 8) * lean).epsilon(round_off));
  CHECK(whole_wall(mesh, "lingual").area == Approx((1.8 * 4 + s * 8) * lean).epsilon(round_off));
}

TEST_CASE("A step continues the box over the pulpal floor", "[verification][mesh]") {
  const Side side = GENERATE(Side::mesial, Side::distal);
  Preparation preparation = sharp(Kind::proximal_box_with_step, 3);
  preparation.side = side;
  const double s = std::tan(radians(3)), lean = std::hypot(1, s);
  const Mesh mesh = build_mesh(tooth_with(preparation), fineness("coarse"));
  const double box = 1.8 * 3 * 4 + (3 + 2 * 1.8) * s * 8 + 2.0 / 3.0 * s * s * 64;
  CHECK(volume_of_filling(mesh) == Approx(box + 2.5 * (2.2 * 2 + s * 4)).epsilon(round_off));
  CHECK(whole_wall(mesh, "floor").area == Approx(1.8 * 3).epsilon(round_off));
  CHECK(whole_wall(mesh, "pulpal floor").area == Approx(2.5 * 2.2).epsilon(round_off));
  CHECK(whole_wall(mesh, "axial").area ==
        Approx(wall_area(3, 4, s) - wall_area(2.2, 2, s)).epsilon(round_off));
  CHECK(whole_wall(mesh, "buccal").area == Approx((1.8 * 4 + s * 8 + 2.5 * 2) * lean).epsilon(round_off));
  const char* end = side == Side::mesial ? "distal" : "mesial";
  CHECK(whole_wall(mesh, end).area == Approx(wall_area(2.2, 2, s)).epsilon(round_off));
}

TEST_CASE("A box open at both sides is a trough as long as the tooth", "[verification][mesh]") {
  const double s = std::tan(radians(3));
  const Mesh mesh = build_mesh(tooth_with(sharp(Kind::through_box, 3)), fineness("coarse"));
  CHECK(volume_of_filling(mesh) == Approx(8 * (3 * 4 + s * 16)).epsilon(round_off));
  CHECK(whole_wall(mesh, "floor").area == Approx(8 * 3).epsilon(round_off));
  CHECK(whole_wall(mesh, "buccal").area == Approx(8 * 4 * std::hypot(1, s)).epsilon(round_off));
  CHECK(whole_wall(mesh, "axial").area == 0);
}

// Chords of length h across an arc of radius r lie at most h^2 / (8 r) inside it, so that a convex round body
// loses at most that times its round area. The largest edge on the bond is taken as h.
TEST_CASE("A cylinder is a cone frustum less the chords' loss", "[verification][mesh]") {
  const double taper = GENERATE(0.0, 5.0);
  const double s = std::tan(radians(taper)), r = 2, R = r + 4 * s;
  const Mesh mesh = build_mesh(tooth_with(sharp(Kind::cylinder, taper)), fineness(0.4));
  const double exact = std::numbers::pi * 4 * (r * r + r * R + R * R) / 3;
  const double round_area = std::numbers::pi * (r + R) * 4 * std::hypot(1, s);
  const double loss = exact - volume_of_filling(mesh);
  CHECK(loss > 0);
  CHECK(loss < round_area * 0.6 * 0.6 / (8 * r));
  double round_wall = 0;
  for (const char* wall : {"mesial", "distal", "buccal", "lingual"}) {
    const double quadrant = whole_wall(mesh, wall).area;
    CHECK(quadrant == Approx(round_area / 4).epsilon(0.15));  // facets cannot end on the quadrants' borders
    round_wall += quadrant;
  }
  CHECK(round_wall == Approx(round_area).epsilon(0.01));
}

// A rounded box is the flat floor a x b swept by a bur: its section at height z is a b + 2 (a + b) o + pi o^2
// with the bur's offset o(z) (Steiner's formula for a rectangle); integrated numerically.
TEST_CASE("Rounded line angles leave the volume swept by a bur", "[verification][mesh]") {
  const double radius = 0.5, taper = radians(4);
  Preparation preparation = sharp(Kind::occlusal_box, 4);
  preparation.line_angle_radius = radius;
  const double inset = radius * (1 - std::sin(taper)) / std::cos(taper);
  const double a = 3.5 - 2 * inset, b = 3 - 2 * inset, tangent = radius * (1 - std::sin(taper));
  const auto section = [&](double z) {
    const double o =
        z < tangent ? std::sqrt(radius * radius - (radius - z) * (radius - z)) : inset + z * std::tan(taper);
    return a * b + 2 * (a + b) * o + std::numbers::pi * o * o;
  };
  constexpr int slices = 200000;
  double exact = 0;
  for (int i = 0; i < slices; ++i) exact += section(4 * (i + 0.5) / slices) * 4 / slices;

  const Mesh mesh = build_mesh(tooth_with(preparation), fineness(0.3));
  const double round_area =
      0.5 * std::numbers::pi * radius * 2 * (a + b) + 4 * 0.5 * std::numbers::pi * 0.8 * 4;
  const double loss = exact - volume_of_filling(mesh);
  CHECK(loss > 0);
  CHECK(loss < round_area * 0.45 * 0.45 / (8 * radius));
}
