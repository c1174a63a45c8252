// Specimens with flat faces: volumes and areas are products of their lengths, so only round-off is allowed.

#include <catch2/catch.hpp>

#include <cmath>

#include "mesh/build/build_mesh.hpp"
#include "named.hpp"

using namespace setstress;
using Names = std::vector<std::string>;

namespace box_specimens {
namespace {

const Names box_surfaces{"bottom", "top", "x0", "x1", "y0", "y1"};

Approx exactly(double value) {
  return Approx(value).epsilon(1e-10);
}

Mesh build(const Specimen& specimen, bool tied = false, double size = 0.6) {
  return build_mesh(specimen, {.bond = size, .filling = size, .far = 2 * size, .tied_bond = tied});
}

/// Net area vector [mm2] of a wall: zero around a closed wall, area times normal for a flat one.
Eigen::Vector3d area_vector(const Mesh& mesh, const std::string& wall) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (const BondFacet& facet : mesh.bond) {
    if (mesh.walls[static_cast<size_t>(facet.wall)] != wall) continue;
    const auto [area, normal] = area_and_normal(mesh, facet.tooth);
    sum += area * normal;
  }
  return sum;
}

}  // namespace

TEST_CASE("butt joint: regions, walls, surfaces and their measures", "[mesh][specimen]") {
  const ButtJoint joint{.length = 2, .width = 1.5, .height = 0.8, .adherend_height = 1.2};
  const Mesh mesh = build(joint);
  CHECK(named::regions(mesh) == Names{"lower plate", "upper plate", "increment 1"});
  CHECK(mesh.walls == Names{"lower", "upper"});
  CHECK(named::sorted(named::surfaces(mesh)) == box_surfaces);
  CHECK(named::volume(mesh, "lower plate") == exactly(2 * 1.5 * 1.2));
  CHECK(named::volume(mesh, "upper plate") == exactly(2 * 1.5 * 1.2));
  CHECK(named::volume(mesh, "increment 1") == exactly(2 * 1.5 * 0.8));
  CHECK(named::wall(mesh, "lower") == exactly(3));
  CHECK(named::wall(mesh, "upper") == exactly(3));
  CHECK(named::surface(mesh, "bottom") == exactly(3));
  CHECK(named::surface(mesh, "x1") == exactly(1.5 * 3.2));
  CHECK(named::surface(mesh, "y0") == exactly(2 * 3.2));
  CHECK(area_vector(mesh, "lower").isApprox(Eigen::Vector3d(0, 0, 3), 1e-10));
  CHECK(area_vector(mesh, "upper").isApprox(Eigen::Vector3d(0, 0, -3), 1e-10));
}

TEST_CASE("rigid plates are not meshed", "[mesh][specimen]") {
  const Mesh mesh = build(ButtJoint{.length = 2, .width = 1, .height = 0.5, .adherend_height = 0});
  CHECK(named::regions(mesh) == Names{"increment 1"});
  CHECK(mesh.bond.empty());
  CHECK(mesh.walls.empty());
  CHECK(named::sorted(named::surfaces(mesh)) == box_surfaces);
  // Feilzer, de Gee and Davidson, J Dent Res 66 (1987) 1636: bonded over free area; 2 x (2 x 1) over 2 x (2 +
  // 1) / 2
  CHECK(configuration_factors(mesh, {"bottom", "top"}).whole.c_factor() == exactly(4.0 / 3.0));
}

TEST_CASE("a split bond doubles the nodes of a tied one and nothing else", "[mesh][specimen]") {
  const ButtJoint joint{};
  const Mesh split = build(joint), tied = build(joint, true);
  REQUIRE(split.bond.size() == tied.bond.size());
  CHECK(split.tetrahedra.size() == tied.tetrahedra.size());
  CHECK(split.nodes.size() > tied.nodes.size());
  std::vector<int> on_bond;
  for (const BondFacet& facet : tied.bond) {
    CHECK(facet.tooth == facet.filling);
    on_bond.insert(on_bond.end(), facet.tooth.begin(), facet.tooth.end());
  }
  std::sort(on_bond.begin(), on_bond.end());
  on_bond.erase(std::unique(on_bond.begin(), on_bond.end()), on_bond.end());
  CHECK(split.nodes.size() == tied.nodes.size() + on_bond.size());
  for (const BondFacet& facet : split.bond)
    for (size_t i = 0; i < 6; ++i) CHECK(facet.tooth[i] != facet.filling[i]);
}

TEST_CASE("layers of a butt joint are the increments", "[mesh][specimen]") {
  ButtJoint joint{.length = 1, .width = 1, .height = 2};
  joint.layout = {{{0, 0, 0.5}, {0, 0, 1}}, {{0, 0, 1.25}, {0, 0, 3}}};
  const Mesh mesh = build(joint);
  CHECK(named::volume(mesh, "increment 1") == exactly(0.5));
  CHECK(named::volume(mesh, "increment 2") == exactly(0.75));
  CHECK(named::volume(mesh, "increment 3") == exactly(0.75));
  const auto factors = configuration_factors(mesh).increments;
  CHECK(factors[0].c_factor() == exactly(1.0 / (1 + 4 * 0.5)));   // wall below; sides and top free
  CHECK(factors[1].c_factor() == exactly(1.0 / (1 + 4 * 0.75)));  // increment 1 below
  CHECK(factors[2].c_factor() == exactly(2.0 / (4 * 0.75)));      // increment 2 below, wall above
}

TEST_CASE("bi-material strip", "[mesh][specimen]") {
  const Mesh mesh =
      build(BimaterialStrip{.length = 5, .width = 1, .substrate_thickness = 0.7, .filling_thickness = 0.4});
  CHECK(named::regions(mesh) == Names{"substrate", "increment 1"});
  CHECK(mesh.walls == Names{"bond"});
  CHECK(named::sorted(named::surfaces(mesh)) == box_surfaces);
  CHECK(named::volume(mesh, "substrate") == exactly(3.5));
  CHECK(named::volume(mesh, "increment 1") == exactly(2));
  CHECK(area_vector(mesh, "bond").isApprox(Eigen::Vector3d(0, 0, 5), 1e-10));
}

TEST_CASE("flexing mould with oblique increments", "[mesh][specimen]") {
  FlexingMould mould{};
  mould.layout = {{{0, 0, 2}, {0, 1, 1}}};
  const Mesh mesh = build(mould, false, 1.5);
  CHECK(named::regions(mesh) == Names{"mould", "increment 1", "increment 2"});
  CHECK(mesh.walls == Names{"buccal", "floor", "lingual"});
  CHECK(named::sorted(named::surfaces(mesh)) ==
        Names{"bottom", "filling surface", "occlusal buccal", "occlusal lingual", "x0", "x1", "y0", "y1"});
  CHECK(named::volume(mesh, "mould") == exactly(8 * (10 * 4 + 2 * 2 * 4)));
  // below z = 2 - y in the slot 6 x 4: the floor from lingual to y = 2, cut off at the top over y = -2 to -3
  CHECK(named::volume(mesh, "increment 1") == exactly(8 * (0.5 * 4 * 4 + 1 * 4)));
  CHECK(named::volume(mesh, "increment 1") + named::volume(mesh, "increment 2") == exactly(6 * 8 * 4));
  CHECK(named::wall(mesh, "floor") == exactly(48));
  CHECK(area_vector(mesh, "buccal").isApprox(Eigen::Vector3d(0, -32, 0), 1e-10));
  CHECK(area_vector(mesh, "lingual").isApprox(Eigen::Vector3d(0, 32, 0), 1e-10));
  CHECK(named::surface(mesh, "filling surface") == exactly(48));
  CHECK(named::surface(mesh, "occlusal buccal") == exactly(16));
  CHECK(named::surface(mesh, "x0") == exactly(10 * 8));
  CHECK(named::surface(mesh, "y1") == exactly(8 * 8));
}

TEST_CASE("free block", "[mesh][specimen]") {
  const Mesh mesh = build(FreeBlock{.length = 1, .width = 2, .height = 3}, false, 0.8);
  CHECK(named::regions(mesh) == Names{"increment 1"});
  CHECK(mesh.regions.at(0).is_filling());
  CHECK(mesh.bond.empty());
  CHECK(named::sorted(named::surfaces(mesh)) == Names{"x0", "x1", "y0", "y1", "z0", "z1"});
  CHECK(named::volume(mesh, "increment 1") == exactly(6));
  CHECK(named::surface(mesh, "z1") == exactly(2));
  CHECK(named::surface(mesh, "x0") == exactly(6));
}

TEST_CASE("specimens that cannot be are refused with the entry at fault", "[mesh][specimen]") {
  const auto key_of = [](const Specimen& specimen) -> std::string {
    try {
      check(specimen);
    } catch (const GeometryError& error) {
      CHECK_THAT(error.what(), Catch::Contains(error.key) && Catch::Contains("mm"));
      return error.key;
    }
    return "";
  };
  CHECK(key_of(ButtJoint{}) == "");
  CHECK(key_of(ButtJoint{.height = 0}) == "specimen.height");
  CHECK(key_of(ButtJoint{.height = INFINITY}) == "specimen.height");
  CHECK(key_of(ButtJoint{.adherend_height = -1}) == "specimen.adherend_height");
  CHECK(key_of(ButtJoint{.layout = {{{0, 0, 1.5}, {0, 0, 1}}}}) == "layout");
  CHECK(key_of(ButtJoint{.layout = {{{0, 0, 0.5}, {0, 0, 0}}}}) == "layout");
  CHECK(key_of(DiscBetweenPlates{.diameter = NAN}) == "specimen.diameter");
  CHECK(key_of(BimaterialStrip{.filling_thickness = 0}) == "specimen.filling_thickness");
  CHECK(key_of(PlugInRing{.plug_radius = 5, .ring_radius = 5}) == "specimen.ring_radius");
  CHECK(key_of(BallInShell{.ball_radius = 2, .shell_radius = 1}) == "specimen.shell_radius");
  CHECK(key_of(FlexingMould{.wall_thickness = 0}) == "specimen.wall_thickness");
  CHECK(key_of(FlexingMould{.layout = {{{0, 0, 4.5}, {0, 0, 1}}}}) == "layout");
  CHECK(key_of(FreeBlock{.width = -1}) == "specimen.width");
  CHECK(key_of(LapJoint{.overlap = 0}) == "specimen.overlap");
  CHECK(key_of(DoubleCantileverBeam{.length = 10, .crack_length = 10}) == "specimen.length");
  CHECK(key_of(LayerOnBase{.base_thickness = 0}) == "specimen.base_thickness");
  CHECK(key_of(EllipticPlate{.inner_x = 4000}) == "specimen.outer_x");
  CHECK(key_of(TaperedCylinder{.inner_radius = 0}) == "specimen.inner_radius");
}

}  // namespace box_specimens
