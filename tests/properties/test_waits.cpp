// Waiting acts through the maturity of the bond, and through cure in the dark, alone: with a bond that is
// mature at once and a cure that soon ends without light, it changes nothing. Derived: no other law knows the
// time of day.

#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/properties/solved_model.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

Model mature_at_once(Model model) {
  for (auto* laws : {&model.adhesive.strength_maturity, &model.adhesive.stiffness_maturity})
    for (auto& [substrate, law] : *laws) law = MaturityLaw::mature_at_once();
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material)) composite->cure.dark_time = 1;
  for (FixedSurface& fixed : model.fixed)
    fixed.ramp = 0;  // loads that grow meanwhile would know the time too
  for (Pressure& load : model.pressures) load.ramp = 0;
  for (FreeStrain& strain : model.free_strains) strain.ramp = 0;
  return model;
}

/// The same plan with `wait` [s] more before every increment.
Model after_waiting(Model model, double wait) {
  Timeline& timeline = model.timeline;
  const std::vector<Placement> planned = timeline.placements;
  const auto later = [&](double time) {
    const auto before =
        std::count_if(planned.begin(), planned.end(), [&](const Placement& p) { return p.time <= time; });
    return time + wait * static_cast<double>(before);
  };
  for (Placement& placement : timeline.placements) placement.time = later(placement.time);
  for (Exposure& exposure : timeline.exposures) exposure.start = later(exposure.start);
  timeline.end = later(timeline.end);
  return model;
}

}  // namespace

TEST_CASE("a bond that is mature at once does not know how long one waited", "[properties]") {
  const auto drawn = seeds({1, 3, 6, 7});
  double traction = 0, area = 0, aged = 0;
  for (const std::uint64_t seed : drawn) {
    const RandomCase c = random_case(seed);
    INFO(c.text());
    Posed p = posed(c);
    p.options.equilibrium_tolerance = 1e-9;
    p.options.linear_tolerance = 1e-10;
    const Model at_once = mature_at_once(p.model), waited = after_waiting(at_once, 137);
    const Solved one = solved(at_once, p.options), other = solved(waited, p.options);
    traction = std::max(traction, largest_difference(one.end, other.end) / traction_scale(one.end));
    area = std::max(area, std::abs(debonded_area(at_once, one.end) - debonded_area(waited, other.end)) /
                              bond_area(at_once));
    // A bond that matures does know, or the comparison would show nothing.
    if (c.debonding) continue;
    const Model slow = after_waiting(p.model, 137);
    const auto ratio = [](const Frame& frame) { return frame.bond.at(0)[0].tensile_strength; };
    aged = std::max(aged, ratio(solved(slow, p.options).end) / ratio(solved(p.model, p.options).end) - 1);
  }
  std::vector<Comparison> comparisons{at_most("difference of tractions, of the largest", "-", 1e-4, traction),
                                      at_most("difference of the debonded share", "-", 1e-4, area)};
  if (drawn.size() > 1)
    comparisons.push_back(at_least("gain of strength where the bond matures", "-", 0.01, aged));
  verify({.chapter = "Properties of random cases",
          .title = "a bond that is mature at once does not know how long one waited",
          .source = "derived: maturity and dark cure are all that waiting acts through",
          .formula = "137 s more before every increment; dark cure with a time constant of 1 s",
          .mesh = "seeds " + listed(drawn) + "; 1,000 to 8,000 unknowns",
          .tolerance_because = "Steps fall elsewhere, and the last share of dark cure takes its time.",
          .comparisons = comparisons});
}
