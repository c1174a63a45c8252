// Tractions that are reported for a bond whose nodes filling and fixture share.

#include <catch2/catch.hpp>

#include "mesh/tetrahedra/measures.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

Model tied_joint(double poisson_ratio) {
  MeshSize size = fineness(0.5);
  size.tied_bond = true;
  return model_of(ButtJoint{.adherend_height = 0.7}, size, always_stiff(10'000, poisson_ratio, 0.002),
                  Elastic{"plate", 70'000, poisson_ratio}, uniform_adhesive(1e5, 4e4, strong));
}

/// Force of the tractions on the tooth side of a wall [N].
Eigen::Vector3d force_on(const Model& model, const Frame& frame, const std::string& wall) {
  Eigen::Vector3d force = Eigen::Vector3d::Zero();
  for (std::size_t f = 0; f < frame.bond.size(); ++f) {
    const BondFacet& facet = model.mesh.bond[f];
    if (model.mesh.walls[static_cast<std::size_t>(facet.wall)] != wall) continue;
    const double area = area_and_normal(model.mesh, facet.tooth).area;
    for (std::size_t p = 0; p < 6; ++p) force += area * facet_points()[p].weight * frame.bond[f][p].traction;
  }
  return force;
}

}  // namespace

// Balance of forces, exact but for the linear solver. What the elements say alone was 7 to 18 % off on a
// joint like this one, for its sharp edges.
TEST_CASE("tractions of a tied bond add up to the force that the joint carries", "[verification][tied]") {
  Model model = tied_joint(0.3);
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  const Frame end = final_frame(model, {.linear_tolerance = 1e-12});
  const double pull = end.reactions.back().z();  // on the body, at its top
  REQUIRE(pull > 1);
  CHECK_THAT(force_on(model, end, "lower").z(), WithinRel(pull, 1e-6));
  CHECK_THAT(force_on(model, end, "upper").z(), WithinRel(-pull, 1e-6));
}

// Closed solution: without lateral contraction, and free to move sideways, each section carries the same
// stress.
TEST_CASE("a uniform pull on a tied bond is uniform at every point", "[patch][tied]") {
  Model model = tied_joint(0.0);
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material)) composite->volumetric_shrinkage = 0;
  model.fixed = {hold("bottom", false, false, true), hold("top", false, false, true),
                 hold("x0", true, false, false), hold("y0", false, true, false)};
  model.fixed[1].value = {0, 0, 1e-3};
  const Frame end = final_frame(model, {.linear_tolerance = 1e-12});
  const double stress = 1e-3 / (2 * 0.7 / 70'000 + 1 / 10'000.0);
  for (const auto& facet : end.bond)
    for (const BondPoint& point : facet) {
      CHECK_THAT(point.normal, WithinRel(stress, 1e-6));
      CHECK_THAT(point.shear, WithinAbs(0, 1e-6 * stress));
    }
}

// Plane strain, ring and plug of one material: a misfit (1 + nu) e in a ring of outer radius b (Timoshenko
// and Goodier). Symmetry planes hold nodes of the bond, where the supports' force must not be taken for
// traction. Four elements along the arc: points are up to 17 % off, their mean is not.
TEST_CASE("supports at the rim of a tied bond do not show as traction", "[tied]") {
  MeshSize size = fineness(0.6);
  size.tied_bond = true;
  Model model = model_of(PlugInRing{.plug_radius = 1.5, .ring_radius = 3, .height = 0.5}, size,
                         always_stiff(10'000, 0.3, 0.002), Elastic{"ring", 10'000, 0.3},
                         uniform_adhesive(1e5, 4e4, strong));
  model.fixed = {hold("x0", true, false, false), hold("y0", false, true, false),
                 hold("bottom", false, false, true), hold("top", false, false, true)};
  const Frame end = final_frame(model, {.linear_tolerance = 1e-12});
  const double expected = 10'000 * 0.002 / (2 * (1 - 0.3)) * (1 - 0.25);
  double largest = 0, smallest = 1e9, mean = 0;
  for (const auto& facet : end.bond)
    for (const BondPoint& point : facet) {
      largest = std::max(largest, point.normal);
      smallest = std::min(smallest, point.normal);
      mean += point.normal / static_cast<double>(6 * end.bond.size());
    }
  CAPTURE(largest, smallest, mean, expected);
  CHECK(largest < 1.2 * expected);
  CHECK(smallest > 0.8 * expected);
  CHECK_THAT(mean, WithinRel(expected, 0.02));
}
