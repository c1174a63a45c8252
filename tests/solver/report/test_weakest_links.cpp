// Chances from the weakest link against the closed form, and a random field of strength against its moments.

#include <catch2/catch.hpp>
#include <cmath>

#include "materials/strength_field.hpp"
#include "solver/bond/bond_layer.hpp"
#include "solver/report/wall_report.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace {

/// A joint of 4 x 5 mm, every place of whose bond has the same `ratio`.
struct EvenJoint {
  Model model;
  Frame frame;
  EvenJoint(double size, double modulus, double stick_area)
      : model(model_of(ButtJoint{.length = 4, .width = 5, .height = 1, .adherend_height = 0.5},
                       fineness(size), always_stiff(8000, 0.3, 0.002),
                       {.name = "plate", .youngs_modulus = 70000, .poisson_ratio = 0.3},
                       uniform_adhesive(2e5, 8e4, strong))) {
    for (auto& [substrate, bond] : model.adhesive.strength)
      bond.weibull_modulus = modulus, bond.stick_area = stick_area;
    frame.bond.resize(model.mesh.bond.size());
  }
  void pull(double ratio) {
    for (std::size_t f = 0; f < frame.bond.size(); ++f)
      for (BondPoint& point : frame.bond[f]) {
        point.active = true;
        point.tensile_strength = point.shear_strength = strong.tensile;
        point.normal = ratio * strong.tensile;
        point.traction = point.normal * area_and_normal(model.mesh, model.mesh.bond[f].tooth).normal;
        point.ratio = ratio;
      }
  }
  /// Of a wall, "" for both.
  double chance(WeakestLinks& links, const std::string& wall) {
    for (const WallRow& row : WallReport(model.mesh, model.substrates).of(frame, &links))
      if (row.wall == wall && !row.substrate) return row.statistics.chance_started;
    throw std::out_of_range(wall);
  }
};

}  // namespace

// Weibull 1939: 1 - exp(-(A/A0) (s/s0)^m) with s0 = mean / gamma(1 + 1/m). Flat walls: areas are exact on any
// mesh.
TEST_CASE("the chance of an evenly loaded wall is that of its area, on any mesh", "[verification][links]") {
  const double m = GENERATE(2.0, 3.6, 10.9), size = GENERATE(1.0, 0.5), ratio = 0.4, sticks = 0.8;
  EvenJoint joint(size, m, sticks);
  joint.pull(ratio);
  WeakestLinks links(joint.model);
  const double each = 20 / sticks * std::pow(ratio * std::tgamma(1 + 1 / m), m);
  CHECK(joint.chance(links, "lower") == Approx(1 - std::exp(-each)).epsilon(1e-9));
  CHECK(joint.chance(links, "") == Approx(1 - std::exp(-2 * each)).epsilon(1e-9));
}

TEST_CASE("two halves hold together as the whole does", "[links]") {
  EvenJoint joint(1, 3.6, 1);
  joint.pull(0.3);
  WeakestLinks links(joint.model);
  const double lower = joint.chance(links, "lower"), upper = joint.chance(links, "upper");
  CHECK(1 - (1 - lower) * (1 - upper) == Approx(joint.chance(links, "")).epsilon(1e-12));
}

TEST_CASE("what has failed has failed: a chance does not fall with the load", "[links]") {
  EvenJoint joint(1, 3.6, 1);
  WeakestLinks links(joint.model);
  joint.pull(0.3);
  const double loaded = joint.chance(links, "lower");
  joint.pull(0.1);
  CHECK(joint.chance(links, "lower") == loaded);
  joint.pull(0.4);
  CHECK(joint.chance(links, "lower") > loaded);
}

TEST_CASE("without a scatter there is no chance to tell", "[links]") {
  EvenJoint joint(1, 0, 1);
  joint.pull(0.5);
  WeakestLinks links(joint.model);
  CHECK(std::isnan(joint.chance(links, "lower")));
}

// 400 seeds: the mean of them scatters by 0.05, a correlation by at most 0.07 (1/sqrt(n)): three times that.
TEST_CASE("a random field has mean 0, variance 1 and the correlation it is asked for",
          "[verification][field]") {
  const double length = GENERATE(0.3, 3.0);
  double mean = 0, variance = 0, apart = 0;
  constexpr int seeds = 400;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    const RandomField field(length, seed);
    const double here = field.at({1, 2, 3}), there = field.at({1 + 0.7 * length, 2, 3});
    mean += here / seeds, variance += here * here / seeds, apart += here * there / seeds;
  }
  CHECK(mean == Approx(0).margin(0.15));
  CHECK(variance == Approx(1).margin(0.22));
  CHECK(apart == Approx(std::exp(-0.49)).margin(0.2));
}

// Mean 1 by definition; coefficient of variation of Weibull 3.6: 0.309 (closed form in gamma functions).
TEST_CASE("strength factors have mean 1 and scatter as their modulus says", "[verification][field]") {
  constexpr int slices = 4000;
  double mean = 0, square = 0;
  for (int i = 0; i < slices; ++i) {  // over the normal density, from -4 to 4: all but 6e-5 of it
    const double x = -4 + 8 * (i + 0.5) / slices;
    const double weight = std::exp(-x * x / 2) / std::sqrt(2 * std::acos(-1.0)) * 8 / slices;
    const double factor = weibull_factor(x, 3.6);
    mean += weight * factor, square += weight * factor * factor;
  }
  CHECK(mean == Approx(1).epsilon(1e-3));
  CHECK(std::sqrt(square - mean * mean) == Approx(0.309).epsilon(5e-3));
}

TEST_CASE("strength factors of 1 change no bit of a bond that lets go", "[field]") {
  Model usual = EvenJoint(1, 3.6, 1).model;
  usual.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  for (auto& [substrate, bond] : usual.adhesive.strength)
    bond = {.tensile = 10, .shear = 10, .fracture_energy_opening = 0.003, .fracture_energy_sliding = 0.003};
  Model even = usual;
  even.strength_factors.assign(usual.mesh.bond.size(), {1, 1, 1, 1, 1, 1});
  const Frame a = final_frame(usual, {.mode = Mode::debonding}),
              b = final_frame(even, {.mode = Mode::debonding});
  CHECK(a.displacement == b.displacement);
}
