// Light and cure of a slab, by hand. No outside source is needed beyond Beer and Lambert.
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/element/tetrahedron.hpp"
#include "solver/report/cure_report.hpp"
#include "solver/run/cure_alone.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double height = 2.0, attenuation = 0.7, reflection = 0.1;  // [mm], [1/mm], [-]

/// A free block lit from above, 1000 mW/cm2 for 60 s, in elements of `size` [mm].
Model slab(double size) {
  Composite composite = always_stiff(10'000, 0.3, 0.005);
  composite.light = {.reflection = reflection, .attenuation = attenuation};
  return model_of(FreeBlock{.length = 1, .width = 1, .height = height}, fineness(size), composite,
                  Elastic{"none", 1, 0.3}, uniform_adhesive(1e5, 1e5, strong));
}

/// `value_at` of every stress point.
template <class ValueAt>
PointValues field(const Mesh& mesh, ValueAt value_at) {
  PointValues values(mesh.tetrahedra.size());
  for (std::size_t t = 0; t < values.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p)
      values[t][p] = value_at(position(mesh, mesh.tetrahedra[t], stress_point(static_cast<int>(p))));
  return values;
}

/// Mean of exp(-mu d) over depths from `from` to `to` [mm].
double mean_light(double from, double to) {
  return (std::exp(-attenuation * from) - std::exp(-attenuation * to)) / (attenuation * (to - from));
}

double top_of(const Mesh& mesh) {
  double top = -1e9;
  for (const Eigen::Vector3d& node : mesh.nodes) top = std::max(top, node.z());
  return top;
}

}  // namespace

TEST_CASE("radiant exposure at depth d is I t (1 - R) exp(-mu d)", "[verification][solver][cure]") {
  const Model model = slab(0.4);
  const double top = top_of(model.mesh);
  const CureAlone cure = cure_alone(model, LightPaths(model.mesh));
  CHECK(cure.lit.at(0) == Approx(60));
  const PointValues expected = field(model.mesh, [&](const Eigen::Vector3d& x) {
    return 60.0 * (1 - reflection) * std::exp(-attenuation * (top - x.z()));  // J/cm2
  });
  for (std::size_t t = 0; t < expected.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p)
      CHECK_THAT(cure.exposure[t][p], WithinRel(expected[t][p], 1e-9));  // ray and product: round-off only
}

TEST_CASE("top and bottom of a slab are its first and last twentieth along the light, on any mesh",
          "[verification][solver][cure]") {
  const double size = GENERATE(0.25, 0.4);
  const Model model = slab(size);
  const LightPaths light(model.mesh);
  const CureReport report(model.mesh, model.timeline, light);
  const TopAndBottom exposure = report.top_and_bottom(0, cure_alone(model, light).exposure);
  // Where the points lie in the twentieth is up to the mesh: light changes by 7 % across it, so by half of
  // that at most.
  CHECK_THAT(exposure.top, WithinRel(54.0 * mean_light(0, height / 20), 0.035));
  CHECK_THAT(exposure.bottom, WithinRel(54.0 * mean_light(height - height / 20, height), 0.035));
}

TEST_CASE("statistics of a conversion that falls straight with depth", "[verification][solver][cure]") {
  const Model model = slab(0.3);
  const double top = top_of(model.mesh);
  const CureReport report(model.mesh, model.timeline, LightPaths(model.mesh));
  const PointValues conversion =
      field(model.mesh, [&](const Eigen::Vector3d& x) { return 1 - (top - x.z()) / height; });
  const IncrementCure cure = report.of({1}, conversion).at(0);
  CHECK_THAT(cure.mean, WithinAbs(0.5, 1e-12));  // the four points integrate a straight field exactly
  CHECK_THAT(cure.p05, WithinAbs(0.05, 0.03));   // half a layer of points
  CHECK_THAT(cure.along_light.top, WithinAbs(0.975, 0.03));
  CHECK_THAT(cure.along_light.bottom, WithinAbs(0.025, 0.03));
  CHECK(cure.least <= cure.p05);
  CHECK_THAT(cure.thickness, WithinAbs(height, 1e-9));
  CHECK_THAT(cure.depth, WithinAbs(height, 1e-9));
  CHECK(std::isnan(report.of({0}, conversion).at(0).mean));  // not placed yet
}

TEST_CASE("lit from two sides, the middle is the bottom", "[verification][solver][cure]") {
  Model model = slab(0.3);
  model.timeline.exposures.push_back(model.timeline.exposures.front());
  model.timeline.exposures.back().direction = {0, 0, 1};
  const CureReport report(model.mesh, model.timeline, LightPaths(model.mesh));
  const double middle = top_of(model.mesh) - height / 2;
  const PointValues off_middle =
      field(model.mesh, [&](const Eigen::Vector3d& x) { return std::abs(x.z() - middle); });
  const TopAndBottom distance = report.top_and_bottom(0, off_middle);
  CHECK(distance.bottom < 0.1 * height);
  CHECK(distance.top > 0.4 * height);
}

TEST_CASE("what a lamp keeps is linear between the points of its table", "[verification][solver][cure]") {
  KeptLight kept{.points = {{0, 1}, {4, 0.75}, {8, 0.25}}};
  CHECK(kept.at(0) == 1);
  CHECK_THAT(kept.at(2), WithinAbs(0.875, 1e-15));
  CHECK_THAT(kept.at(6), WithinAbs(0.5, 1e-15));
  CHECK(kept.at(8) == 0.25);
  CHECK_THROWS_AS(kept.at(8.1), std::out_of_range);
  kept.keeps_last = true;
  CHECK(kept.at(80) == 0.25);
}

TEST_CASE("light falls with the distance from the tip as the table says, on top of what depth takes",
          "[verification][solver][cure]") {
  Model model = slab(0.4);
  const double top = top_of(model.mesh);
  model.timeline.exposures[0].tip = LampTip{.kept = {.points = {{0, 1}, {10, 0.5}}}, .gap = 3};
  const CureAlone cure = cure_alone(model, LightPaths(model.mesh));
  const PointValues expected = field(model.mesh, [&](const Eigen::Vector3d& x) {
    const double depth = top - x.z();
    return 54.0 * std::exp(-attenuation * depth) * (1 - 0.05 * (3 + depth));
  });
  for (std::size_t t = 0; t < expected.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p) CHECK_THAT(cure.exposure[t][p], WithinRel(expected[t][p], 1e-9));
  model.timeline.exposures[0].tip->distance = 4;  // to all that is lit
  const CureAlone fixed = cure_alone(model, LightPaths(model.mesh));
  model.timeline.exposures[0].tip.reset();
  const CureAlone plain = cure_alone(model, LightPaths(model.mesh));
  for (std::size_t t = 0; t < expected.size(); ++t)
    CHECK_THAT(fixed.exposure[t][0], WithinRel(0.8 * plain.exposure[t][0], 1e-12));
}
