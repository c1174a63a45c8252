// Lap joint, double cantilever beam and layer on a base: areas and volumes are products of their lengths.

#include <catch2/catch.hpp>

#include "mesh/build/build_mesh.hpp"
#include "named.hpp"

using namespace setstress;
using Names = std::vector<std::string>;

namespace joint_specimens {
namespace {

Approx exactly(double value) {
  return Approx(value).epsilon(1e-10);
}

Mesh build(const Specimen& specimen, bool tied = false) {
  return build_mesh(specimen, {.bond = 0.7, .filling = 1, .far = 1, .tied_bond = tied});
}

}  // namespace

TEST_CASE("lap joint", "[mesh][specimen]") {
  const double free = GENERATE(0.0, 1.5);
  const Mesh mesh = build(LapJoint{.overlap = 4, .width = 1, .thickness = 2, .free_length = free});
  CHECK(named::regions(mesh) == Names{"lower adherend", "increment 1"});
  CHECK(named::sorted(named::surfaces(mesh)) == Names{"bottom", "lower end", "top", "upper end", "y0", "y1"});
  CHECK(named::volume(mesh, "lower adherend") == exactly((4 + free) * 2));
  CHECK(named::volume(mesh, "increment 1") == exactly((4 + free) * 2));
  CHECK(named::wall(mesh, "bond") == exactly(4));
  CHECK(named::surface(mesh, "lower end") == exactly(2));
  CHECK(named::surface(mesh, "upper end") == exactly(2));
  CHECK(named::surface(mesh, "bottom") == exactly(4 + free));
}

TEST_CASE("double cantilever beam: bonded beyond the crack only", "[mesh][specimen]") {
  const bool tied = GENERATE(true, false);
  const DoubleCantileverBeam beam{.length = 6, .width = 1, .arm_height = 1, .crack_length = 2.5};
  const Mesh mesh = build(beam, tied);
  CHECK(named::regions(mesh) == Names{"lower arm", "increment 1"});
  CHECK(named::sorted(named::surfaces(mesh)) ==
        Names{"bottom", "lower crack", "lower load", "top", "upper crack", "upper load", "x1", "y0", "y1"});
  CHECK(named::volume(mesh, "lower arm") == exactly(6));
  CHECK(named::wall(mesh, "bond") == exactly(3.5));
  CHECK(named::surface(mesh, "lower crack") == exactly(2.5));
  CHECK(named::surface(mesh, "upper crack") == exactly(2.5));
  CHECK(named::surface(mesh, "upper load") == exactly(1));
  for (const BondFacet& facet : mesh.bond)
    for (const int node : facet.tooth) CHECK(mesh.nodes[static_cast<size_t>(node)].x() >= 2.5 - 1e-9);
}

TEST_CASE("the arms of a double cantilever beam share no node along its crack", "[mesh][specimen]") {
  const bool tied = GENERATE(true, false);
  const Mesh mesh = build(DoubleCantileverBeam{.length = 6, .crack_length = 2.5}, tied);
  std::vector<std::array<bool, 2>> used(mesh.nodes.size());
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    for (const int node : tetrahedron.nodes)
      used[static_cast<size_t>(node)][static_cast<size_t>(tetrahedron.region)] = true;
  int shared = 0;
  for (size_t node = 0; node < used.size(); ++node) {
    if (!used[node][0] || !used[node][1]) continue;
    ++shared;
    CHECK(mesh.nodes[node].x() >= 2.5 - 1e-9);
  }
  CHECK((shared > 0) == tied);
}

TEST_CASE("layer on a base", "[mesh][specimen]") {
  const Mesh mesh = build(LayerOnBase{.length = 4, .width = 1, .thickness = 1, .base_thickness = 0.5});
  CHECK(named::regions(mesh) == Names{"base", "increment 1"});
  CHECK(named::volume(mesh, "base") == exactly(2));
  CHECK(named::volume(mesh, "increment 1") == exactly(4));
  CHECK(named::wall(mesh, "bond") == exactly(4));
  CHECK(named::sorted(named::surfaces(mesh)) == Names{"bottom", "top", "x0", "x1", "y0", "y1"});
}

}  // namespace joint_specimens
