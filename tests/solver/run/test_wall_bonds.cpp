// Walls whose bond has values of its own, on a short joint between two plates.

#include <catch2/catch.hpp>

#include "solver/bond/bond_layer.hpp"
#include "solver/run/kept_bond.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace wall_bonds {
namespace {

const Elastic plate{.name = "plate", .youngs_modulus = 70000, .poisson_ratio = 0.3};

/// Let go within the few micrometres by which the composite shortens.
constexpr BondStrength brittle{
    .tensile = 20, .shear = 20, .fracture_energy_opening = 0.003, .fracture_energy_sliding = 0.003};

/// Two plates, walls "lower" and "upper"; the composite pulls on both.
Model joint() {
  Model model = model_of(ButtJoint{.adherend_height = 0.5}, fineness(0.5), always_stiff(8000, 0.3, 0.002),
                         plate, uniform_adhesive(2e5, 8e4, brittle));
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  return model;
}

WallBond with_strengths(const Model& model, double factor) {
  WallBond bond = wall_bond(model.adhesive);
  for (auto& [substrate, strength] : bond.strength) {
    strength.tensile *= factor;
    strength.shear *= factor;
  }
  return bond;
}

bool is_on(const Model& model, std::size_t facet, const std::string& wall) {
  return model.mesh.walls[static_cast<std::size_t>(model.mesh.bond[facet].wall)] == wall;
}

}  // namespace

TEST_CASE("a wall given the adhesive's own values changes no bit", "[walls]") {
  const Model usual = joint();
  Model named = usual;
  named.wall_bonds["upper"] = wall_bond(usual.adhesive);
  const Mode mode = GENERATE(Mode::intact, Mode::debonding);
  const Frame a = final_frame(usual, {.mode = mode}), b = final_frame(named, {.mode = mode});
  CHECK(a.displacement == b.displacement);
  for (std::size_t f = 0; f < a.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) {
      CHECK(a.bond[f][p].ratio == b.bond[f][p].ratio);
      CHECK(a.bond[f][p].strength_lost == b.bond[f][p].strength_lost);
    }
}

// Derived: demand is homogeneous in 1 / strength, and halving is exact in binary.
TEST_CASE("half the strength on one wall is twice its ratio and leaves the other wall's bits", "[walls]") {
  const Model usual = joint();
  Model weaker = usual;
  weaker.wall_bonds["upper"] = with_strengths(usual, 0.5);
  const Frame a = final_frame(usual, {}), b = final_frame(weaker, {});
  CHECK(a.displacement == b.displacement);
  for (std::size_t f = 0; f < a.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p)
      CHECK(b.bond[f][p].ratio == (is_on(usual, f, "upper") ? 2 : 1) * a.bond[f][p].ratio);
}

TEST_CASE("the weaker of two like walls is the first to let go", "[walls]") {
  Model model = joint();
  const std::string weak = GENERATE("lower", "upper");
  model.wall_bonds[weak] = with_strengths(model, 0.25);
  int off_weak = 0, off_other = 0;
  (void)simulate(model, {.mode = Mode::debonding}, [&](const Frame& frame, const Progress&) {
    for (std::size_t f = 0; f < frame.bond.size(); ++f)
      for (const BondPoint& point : frame.bond[f])
        (is_on(model, f, weak) ? off_weak : off_other) += point.debonded();
    return off_weak + off_other == 0;
  });
  CAPTURE(weak, off_weak, off_other);
  CHECK(off_weak > 0);
  CHECK(off_other == 0);
}

TEST_CASE("a kept bond serves walls that differ in strength, not in stiffness", "[walls]") {
  const Model usual = joint();
  KeptBond kept(usual, {});
  (void)simulate(usual, {}, [&](const Frame& frame, const Progress&) {
    kept.add(frame);
    return true;
  });
  Model weaker = usual, softer = usual;
  weaker.wall_bonds["upper"] = with_strengths(usual, 0.7);
  softer.wall_bonds["upper"] = wall_bond(usual.adhesive);
  softer.wall_bonds["upper"].normal_stiffness *= 0.5;
  CHECK(!kept.serves(softer, {}));
  REQUIRE(kept.serves(weaker, {}));
  Frame judged;
  kept.for_each(weaker, [&](const Frame& frame, std::size_t) { judged = frame; });
  const Frame solved = final_frame(weaker, {});
  for (std::size_t f = 0; f < solved.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) CHECK(judged.bond[f][p].ratio == solved.bond[f][p].ratio);
}

TEST_CASE("a bond to a wall that is not there is refused", "[walls]") {
  Model model = joint();
  model.wall_bonds["floor"] = wall_bond(model.adhesive);
  CHECK_THROWS_WITH(final_frame(model, {}), Catch::Matchers::Contains("'floor'"));
}

}  // namespace wall_bonds
