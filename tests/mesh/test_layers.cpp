// Oblique layers in cavities that lie off the middle or widen towards the top.

#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;

namespace {

/// Length [mm] along z that each increment covers of a wall that starts at y = `foot` and leans outwards by
/// `lean` per height, found by walking up it and asking which planes it is still below.
std::map<std::size_t, double> covered_lengths(const std::vector<CuttingPlane>& planes, double floor,
                                              double top, double foot, double lean, double pace) {
  std::map<std::size_t, double> lengths;
  for (double z = floor + 0.5 * pace; z < top; z += pace) {
    const Eigen::Vector3d point(0, foot + lean * (z - floor), z);
    std::size_t k = 0;
    while (k < planes.size() && planes[k].normal.dot(point - planes[k].point) > 0) ++k;
    lengths[k] += pace;
  }
  return lengths;
}

}  // namespace

// Derived: the volume under a plane does not depend on where the cavity lies.
TEST_CASE("Oblique layers of a cavity off the middle are those of one in the middle, moved with it",
          "[verification][mesh]") {
  const auto middle = oblique_layers(2, 6, 1.5, 30, {.half_width = 2});
  const auto moved = oblique_layers(2, 6, 1.5, 30, {.half_width = 2, .centre = 1.2});
  REQUIRE(moved.size() == middle.size());
  for (std::size_t k = 0; k < moved.size(); ++k) {
    const Eigen::Vector3d shift = moved[k].point - middle[k].point;
    CHECK(shift == Eigen::Vector3d(0, 1.2, 0));
    CHECK(moved[k].normal == middle[k].normal);
  }
}

// What the key says: of its own wall each layer covers its thickness; the last one what is left.
TEST_CASE("Oblique layers are as thick as asked on both walls of a tapered cavity off the middle",
          "[verification][mesh]") {
  const double taper = GENERATE(0.0, 6.0), centre = GENERATE(0.0, -1.3);
  const double floor = -1, top = 6, thickness = 1.8, spread = std::tan(radians(taper)), pace = 1e-4;
  const auto planes = oblique_layers(floor, top, thickness, 35,
                                     {.half_width = 2, .centre = centre, .foot = floor, .spread = spread});
  int whole_layers = 0;
  for (const double side : {1.0, -1.0}) {
    const auto lengths = covered_lengths(planes, floor, top, centre + side * 2, side * spread, pace);
    const std::size_t uppermost = lengths.rbegin()->first;
    for (std::size_t k = 0; k < planes.size(); ++k) {
      if (side * planes[k].normal.y() > 0 || k >= uppermost) continue;  // leans on the other wall; cut by top
      CAPTURE(taper, centre, side, k);
      CHECK(lengths.at(k) == Approx(thickness).margin(2 * pace));
      ++whole_layers;
    }
  }
  CHECK(whole_layers >= 4);
}

TEST_CASE("A plan and its mirror image fill a cavity and its mirror image alike", "[verification][mesh]") {
  const Preparation right{.kind = Preparation::Kind::proximal_box,
                          .depth = 4,
                          .length = 1.8,
                          .width = 3,
                          .taper = 5,
                          .line_angle_radius = 0,
                          .offset_y = 0.9};
  Preparation left = right;
  left.offset_y = -0.9;
  ToothCase one = tooth_with(right), other = tooth_with(left);
  one.layout = oblique_layers(2, 6, 1.5, 30, {1.5, 0.9, 2, std::tan(radians(5))});
  other.layout = one.layout;
  for (CuttingPlane& plane : other.layout) plane.point.y() *= -1, plane.normal.y() *= -1;
  const Mesh first = build_mesh(one, fineness("coarse")), second = build_mesh(other, fineness("coarse"));
  for (std::size_t k = 1; k <= one.layout.size() + 1; ++k) {
    const std::string name = "increment " + std::to_string(k);  // flat faces: volumes are exact
    CHECK(volume_of_region(first, name) == Approx(volume_of_region(second, name)).epsilon(1e-8));
  }
}

TEST_CASE("Oblique layers as steep as the wall are refused", "[mesh]") {
  const SideWalls walls{.half_width = 2, .spread = std::tan(radians(20))};
  CHECK_NOTHROW(oblique_layers(0, 4, 1, 65, walls));
  try {
    (void)oblique_layers(0, 4, 1, 70, walls);
    FAIL("70 degrees were taken");
  } catch (const GeometryError& error) {
    CHECK(error.key == "layout.angle");
  }
}
