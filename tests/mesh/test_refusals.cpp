// Geometries that cannot be are refused with the key, the value and what would be allowed; layouts by
// thickness.

#include <catch2/catch.hpp>
#include <functional>

#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;
using Kind = Preparation::Kind;

namespace {

std::string refused_key(const std::function<void()>& attempt) {
  try {
    attempt();
  } catch (const GeometryError& error) {
    INFO(error.what());
    CHECK(std::string(error.what()).find(error.key) != std::string::npos);
    return error.key;
  }
  return "";
}

using Change = std::function<void(ToothCase&)>;

}  // namespace

TEST_CASE("What cannot be built is refused by its key", "[mesh]") {
  const std::vector<std::pair<std::string, Change>> refusals = {
      {"tooth.length", [](ToothCase& c) { c.tooth.length = -1; }},
      {"tooth.root_depth", [](ToothCase& c) { c.tooth.root_depth = 0; }},
      {"tooth.edge_radius", [](ToothCase& c) { c.tooth.edge_radius = 4.5; }},
      {"tooth.occlusal_enamel", [](ToothCase& c) { c.tooth.occlusal_enamel = 6; }},
      {"tooth.side_enamel", [](ToothCase& c) { c.tooth.side_enamel = 3.9; }},
      {"tooth.pulp.roof", [](ToothCase& c) { c.tooth.pulp = Tooth::Pulp{.roof = 5}; }},
      {"tooth.pulp.width", [](ToothCase& c) { c.tooth.pulp = Tooth::Pulp{.width = 7}; }},
      {"preparation.depth", [](ToothCase& c) { c.preparation.depth = 11; }},
      {"preparation.depth",
       [](ToothCase& c) {
         c.tooth.pulp = Tooth::Pulp{};
         c.preparation.length = 3;  // the floor reaches over the chamber
         c.preparation.depth = 5.5;
       }},
      {"preparation.width", [](ToothCase& c) { c.preparation.width = 8.5; }},
      {"preparation.width", [](ToothCase& c) { c.preparation.offset_y = 2.5; }},
      {"preparation.length", [](ToothCase& c) { c.preparation.length = 7.5; }},
      {"preparation.line_angle_radius", [](ToothCase& c) { c.preparation.line_angle_radius = 2.5; }},
      {"preparation.line_angle_radius", [](ToothCase& c) { c.preparation.line_angle_radius = -0.1; }},
      {"preparation.taper", [](ToothCase& c) { c.preparation.taper = 40; }},
      {"preparation.taper", [](ToothCase& c) { c.preparation = {.depth = 7, .width = 1.5, .taper = -9}; }},
      {"preparation.bevel", [](ToothCase& c) { c.preparation.bevel = 2; }},
      {"preparation.bevel",
       [](ToothCase& c) {
         c.tooth.occlusal_enamel = 0;
         c.preparation.bevel = 0.5;
       }},
      {"preparation.step_depth",
       [](ToothCase& c) {
         c.preparation = {.kind = Kind::proximal_box_with_step, .depth = 4, .step_depth = 4};
       }},
      {"preparation.step_width",
       [](ToothCase& c) { c.preparation = {.kind = Kind::proximal_box_with_step, .step_width = 5}; }},
      {"preparation.step_length",
       [](ToothCase& c) { c.preparation = {.kind = Kind::proximal_box_with_step, .step_length = 6}; }},
      {"preparation.diameter",
       [](ToothCase& c) { c.preparation = {.kind = Kind::cylinder, .diameter = 7.5}; }},
      {"layout",
       [](ToothCase& c) {
         c.layout = {{{0, 0, -2}, {0, 0, 1}}};
       }},  // below the floor
      {"layout",
       [](ToothCase& c) {
         c.layout = {{{0, 0, 7}, {0, 0, 1}}};
       }},  // above the opening
      {"layout",
       [](ToothCase& c) {
         c.layout = {{{0, 0, 3}, {0, 0, 0}}};
       }},  // no direction
      {"layout",
       [](ToothCase& c) {
         c.layout = {{{0, 0, 3}, {0, 0, 1}}, {{0, 0, 3}, {0, 0, 1}}};
       }},  // twice
  };
  for (const auto& [key, change] : refusals) {
    ToothCase tooth_case = tooth_with(deep_proximal_box());
    REQUIRE_NOTHROW(check(tooth_case));
    change(tooth_case);
    CHECK(refused_key([&] { check(tooth_case); }) == key);
  }
}

TEST_CASE("Horizontal layers fill the preparation or are refused", "[mesh]") {
  const auto planes = horizontal_layers(-1, 6, {0.5, 2, 2, 2.5});
  REQUIRE(planes.size() == 3);
  CHECK(planes[0].point.z() == Approx(-0.5));
  CHECK(planes[2].point.z() == Approx(3.5));
  CHECK(horizontal_layers(-1, 6, {7}).empty());
  CHECK(refused_key([] { horizontal_layers(-1, 6, {2, 2, 2}); }) == "layout.thicknesses");
  CHECK(refused_key([] { horizontal_layers(-1, 6, {2, 6}); }) == "layout.thicknesses");
  CHECK(refused_key([] { horizontal_layers(-1, 6, {8, -1}); }) == "layout.thicknesses");
}

// Derived: in a sharp box without taper each layer is length x width x thickness.
TEST_CASE("Layers have the volumes of their thicknesses and add up to the cavity", "[verification][mesh]") {
  ToothCase tooth_case = tooth_with({.kind = Kind::proximal_box,
                                     .depth = 4,
                                     .length = 1.8,
                                     .width = 4,
                                     .taper = 0,
                                     .line_angle_radius = 0});
  tooth_case.layout = horizontal_layers(2, 6, {0.5, 1.5, 2});
  const Mesh horizontal = build_mesh(tooth_case, fineness("coarse"));
  CHECK(volume_of_region(horizontal, "increment 1") == Approx(1.8 * 4 * 0.5).epsilon(1e-8));
  CHECK(volume_of_region(horizontal, "increment 2") == Approx(1.8 * 4 * 1.5).epsilon(1e-8));
  CHECK(volume_of_region(horizontal, "increment 3") == Approx(1.8 * 4 * 2).epsilon(1e-8));

  // The first wedge is 2 mm high at the buccal wall and runs out on the floor 2 / tan(40 degrees) away from
  // it.
  tooth_case.layout = oblique_layers(2, 6, 2, 40, {.half_width = 2});
  const Mesh oblique = build_mesh(tooth_case, fineness("coarse"));
  CHECK(volume_of_region(oblique, "increment 1") ==
        Approx(1.8 * 2 * 2 / std::tan(radians(40)) / 2).epsilon(1e-8));
  CHECK(number_of_increments(oblique) == static_cast<int>(tooth_case.layout.size()) + 1);
  CHECK(volume_of_filling(oblique) == Approx(1.8 * 4 * 4).epsilon(1e-8));
}

TEST_CASE("Oblique layers alternate between the walls", "[mesh]") {
  const auto planes = oblique_layers(2, 6, 1.5, 30, {.half_width = 2});
  REQUIRE(planes.size() >= 2);
  for (std::size_t i = 0; i < planes.size(); ++i) CHECK((planes[i].normal.y() < 0) == (i % 2 == 0));
  CHECK(refused_key([] { oblique_layers(2, 6, 0, 30, {.half_width = 2}); }) == "layout.thickness");
  CHECK(refused_key([] { oblique_layers(2, 6, 1, 80, {.half_width = 2}); }) == "layout.angle");
}

TEST_CASE("Unknown finenesses are refused", "[mesh]") {
  CHECK_THROWS_AS(fineness("finest"), std::invalid_argument);
  CHECK_THROWS_AS(fineness(0.0), std::invalid_argument);
}
