// Bodies glued by bond facets.
#include <catch2/catch.hpp>

#include <Eigen/Geometry>
#include <algorithm>

#include "solver/element/bond_element.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

const std::vector<FixedSurface> pulled_in_z{hold("bottom", false, false, true),
                                            hold("top", false, false, true), hold("x0", true, false, false),
                                            hold("y0", false, true, false)};

/// Two blocks and composite between them, all with E 10,000 MPa (nu 0: uniform along z whatever the sides
/// do), linear shrinkage 0.002, held at both far ends. The film gives way in shear, so that the sides stay
/// free.
Model joint(double normal_stiffness, double adherend_modulus, double composite_height,
            double adherend_height) {
  Model model =
      model_of(ButtJoint{.height = composite_height, .adherend_height = adherend_height}, fineness(0.5),
               always_stiff(10'000, 0.0, 0.002), Elastic{"plate", adherend_modulus, 0.0},
               uniform_adhesive(normal_stiffness, 1e-3, {1e3, 1e3, 1e3, 1e3}));
  model.fixed = pulled_in_z;
  return model;
}

void check_uniform_normal_traction(const Frame& frame, double expected, double tolerance) {
  for (const auto& facet : frame.bond)
    for (const BondPoint& point : facet) {
      CHECK_THAT(point.normal, WithinAbs(expected, tolerance));
      CHECK_THAT(point.shear, WithinAbs(0.0, tolerance));
    }
}

}  // namespace

// Springs in series, sides free: sigma = E e L/(L + E sum(1/Kn) + E/E_d L_d) (derived).
TEST_CASE("composite, films and blocks act as springs in series", "[verification][solver]") {
  SECTION("4 mm of composite between stiff blocks, two 20 um films") {
    const Frame frame = final_frame(joint(240'000, 1e9, 4.0, 0.5), {});
    check_uniform_normal_traction(frame, 19.59, 0.01);  // target given to 4 digits
  }
  SECTION("two 2 mm blocks of 18,000 MPa") {
    const Frame frame = final_frame(joint(240'000, 18'000, 4.0, 2.0), {});
    check_uniform_normal_traction(frame, 12.69, 0.01);
  }
}

TEST_CASE("a uniform stress passes glued facets unchanged", "[patch][solver]") {
  Model model = joint(1e5, 18'000, 1.0, 1.0);
  std::get<Composite>(model.materials[static_cast<std::size_t>(
                          std::find_if(model.mesh.regions.begin(), model.mesh.regions.end(),
                                       [](const Region& r) { return r.is_filling(); }) -
                          model.mesh.regions.begin())])
      .volumetric_shrinkage = 0;
  model.fixed = {hold("bottom", false, false, true), hold("x0", true, false, false),
                 hold("y0", false, true, false)};
  model.pressures = {{.surface = "top", .pressure = -7.5}};
  Outcome outcome;
  const Frame frame = final_frame(model, {.linear_tolerance = 1e-12}, &outcome);
  check_uniform_normal_traction(frame, 7.5, 1e-6);
  for (const auto& element : frame.stress)
    for (const Vector6d& s : element) CHECK((s - Vector6d{{0, 0, 7.5, 0, 0, 0}}).norm() < 1e-6);
  CHECK(outcome.largest_energy_error < 1e-8);
}

TEST_CASE("a rigid motion strains neither tetrahedra nor bond", "[patch][solver]") {
  const Model model = joint(1e5, 18'000, 1.0, 1.0);
  const Eigen::Vector3d shift(0.1, -0.2, 0.3), spin(0.01, 0.02, -0.03);
  Eigen::VectorXd moved(model.mesh.unknowns());
  for (std::size_t i = 0; i < model.mesh.nodes.size(); ++i)
    moved.segment<3>(3 * static_cast<Eigen::Index>(i)) = shift + spin.cross(model.mesh.nodes[i]);
  for (const BondFacet& facet : model.mesh.bond)
    for (int p = 0; p < 6; ++p)
      CHECK(jump(facet, geometry_of(model.mesh, facet.tooth), p, moved).norm() < 1e-14);
}

// Superposition: everything placed at the start at final stiffness, linear: shrinking one increment after the
// other must end where shrinking all at once ends (derived).
TEST_CASE("with everything in place, the order of shrinking does not matter", "[verification][solver]") {
  const CuttingPlane half{{0, 0, 1.0}, {0, 0, 1}};
  const auto build = [&](double light_on_second) {
    Model model =
        model_of(ButtJoint{.height = 2.0, .layout = {half}}, fineness(0.5), always_stiff(10'000, 0.3, 0.002),
                 Elastic{"plate", 18'000, 0.31}, uniform_adhesive(1e5, 4e4, strong));
    model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
    // A dark first increment and light that cannot pass the second: the lamp from below cures the first
    // alone.
    for (auto& material : model.materials)
      if (auto* composite = std::get_if<Composite>(&material)) composite->light.attenuation = 50.0;
    model.tissue_attenuation = 0.0;
    model.timeline.exposures = {{0, 2000, 1000, {0, 0, 1}}, {light_on_second, 2000, 1000, {0, 0, -1}}};
    model.timeline.end = light_on_second + 4000;
    return model;
  };
  const SolveOptions options{.largest_time_step = 4000, .linear_tolerance = 1e-10};
  const Frame together = final_frame(build(0.0), options), apart = final_frame(build(2000.0), options);
  // Compare where both have converted alike: scale by nothing, require equal conversion first.
  double conversion = 0, displacement = 0;
  for (std::size_t i = 0; i < together.conversion.size(); ++i)
    for (std::size_t p = 0; p < 4; ++p)
      conversion = std::max(conversion, std::abs(together.conversion[i][p] - apart.conversion[i][p]));
  displacement = (together.displacement - apart.displacement).norm() / together.displacement.norm();
  CAPTURE(conversion);
  REQUIRE(conversion < 1e-3);
  CHECK(displacement < std::max(10 * conversion, 1e-6));
}

TEST_CASE("placing an increment changes no stress", "[verification][solver]") {
  const CuttingPlane half{{0, 0, 1.0}, {0, 0, 1}};
  Model model =
      model_of(ButtJoint{.height = 2.0, .layout = {half}}, fineness(0.5), always_stiff(10'000, 0.3, 0.002),
               Elastic{"plate", 18'000, 0.31}, uniform_adhesive(1e5, 4e4, strong));
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  model.timeline.placements = {{0, 0.0}, {1, 100.0}};
  model.timeline.end = 100.0;
  model.timeline.extra_frames = {99.999};
  std::vector<Frame> frames;
  simulate(model, {}, [&](const Frame& frame, const Progress&) {
    frames.push_back(frame);
    return true;
  });
  const Frame &after = frames.back(), &before = frames[frames.size() - 2];
  REQUIRE(after.event == "increment 2 placed, end");
  double change = 0, stress = 0;
  for (std::size_t i = 0; i < after.stress.size(); ++i)
    for (std::size_t p = 0; p < 4; ++p) {
      change = std::max(change, (after.stress[i][p] - before.stress[i][p]).norm());
      stress = std::max(stress, before.stress[i][p].norm());
    }
  REQUIRE(stress > 1.0);
  CHECK(change < 1e-5 * stress);
  double gap = 0;
  for (const auto& facet : after.bond)
    for (const BondPoint& point : facet) gap = std::max(gap, point.opening);
  CHECK(gap < 1e-3);
}
