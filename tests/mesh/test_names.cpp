// Names that are known before a shape is built are those of its mesh. Facts about our own shapes; no source.

#include <catch2/catch.hpp>

#include <algorithm>

#include "mesh/build/build_mesh.hpp"
#include "mesh/geometry/names.hpp"
#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;

namespace {

ShapeNames names_of(const Mesh& mesh) {
  ShapeNames names{.surfaces = {}, .walls = mesh.walls, .bodies = {}};
  for (const Surface& surface : mesh.surfaces) names.surfaces.push_back(surface.name);
  for (const Region& region : mesh.regions)
    if (!region.is_filling()) names.bodies.push_back(region.name);
  std::sort(names.bodies.begin(), names.bodies.end());
  return names;
}

void check_names(const Geometry& geometry, const MeshSize& size) {
  const ShapeNames known = names_in(geometry), found = names_of(build_mesh(geometry, size));
  CHECK(known.surfaces == found.surfaces);
  CHECK(known.walls == found.walls);
  CHECK(known.bodies == found.bodies);
}

}  // namespace

TEST_CASE("a prepared tooth has the names that are known before it is built", "[mesh]") {
  using enum Preparation::Kind;
  const auto kind = GENERATE(occlusal_box, proximal_box, proximal_box_with_step, through_box, cylinder);
  const auto side = GENERATE(Side::mesial, Side::distal);
  if (side == Side::distal && kind != proximal_box_with_step) return;
  Preparation preparation;
  preparation.kind = kind;
  preparation.side = side;
  preparation.bevel = kind == occlusal_box ? 0.5 : 0.0;
  if (kind != proximal_box && kind != proximal_box_with_step) preparation.length = 3;
  CAPTURE(static_cast<int>(kind), static_cast<int>(side));
  check_names(tooth_with(preparation), {.bond = 1.5, .filling = 2, .far = 4});
}

TEST_CASE("a specimen has the names that are known before it is built", "[mesh]") {
  for (const Specimen& specimen :
       {Specimen{ButtJoint{}}, Specimen{ButtJoint{.adherend_height = 0}}, Specimen{DiscBetweenPlates{}},
        Specimen{DiscBetweenPlates{.plate_thickness = 1}}, Specimen{BimaterialStrip{.length = 4}},
        Specimen{PlugInRing{}}, Specimen{BallInShell{}}, Specimen{FlexingMould{}}, Specimen{FreeBlock{}},
        Specimen{LapJoint{.free_length = 2}}, Specimen{DoubleCantileverBeam{.length = 6, .crack_length = 3}},
        Specimen{LayerOnBase{}}}) {
    CAPTURE(specimen.index());
    check_names(specimen, {.bond = 1.5, .filling = 2, .far = 4});
  }
  for (const Specimen& specimen : {Specimen{EllipticPlate{}}, Specimen{TaperedCylinder{}}})
    check_names(specimen, {.bond = 1000, .filling = 1000, .far = 1000});
}
