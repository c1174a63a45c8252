// A bond of twice the strength and twice the fracture energy never lets go of more. Derived: at every opening
// it carries at least what the weaker one does.

#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/properties/solved_model.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

Model doubled(Model model) {
  for (auto& [substrate, bond] : model.adhesive.strength) {
    bond.tensile *= 2;
    bond.shear *= 2;
    bond.fracture_energy_opening *= 2;
    bond.fracture_energy_sliding *= 2;
  }
  return model;
}

}  // namespace

TEST_CASE("doubling all strengths and fracture energies never increases the debonded area", "[properties]") {
  const auto drawn = seeds({2, 6, 10, 14});
  double largest_increase = -1e300, area = 0, weak = 0, strong = 0;
  for (const std::uint64_t seed : drawn) {
    RandomCase c = random_case(seed);
    c.debonding = true;
    INFO(c.text());
    const Posed p = posed(c);
    const double before = debonded_area(p.model, solved(p.model, p.options).end);
    const Model stronger = doubled(p.model);
    const double after = debonded_area(stronger, solved(stronger, p.options).end);
    CHECK(after <= before);
    largest_increase = std::max(largest_increase, after - before);
    area += bond_area(p.model);
    weak += before;
    strong += after;
  }
  std::vector<Comparison> comparisons{
      at_most("largest increase of the debonded area", "mm2", 0, largest_increase)};
  if (drawn.size() > 1)
    comparisons.push_back(at_least("debonded before, all cases", "mm2", 0.1 * area, weak));
  verify({.chapter = "Properties of random cases",
          .title = "a stronger bond never lets go of more",
          .source = "derived: at every opening it carries at least as much",
          .formula = "all strengths and fracture energies doubled",
          .mesh = "seeds " + listed(drawn) + "; 1,000 to 8,000 unknowns",
          .tolerance_because = "A bound; no tolerance.",
          .comparisons = comparisons,
          .verdict = std::to_string(weak) + " mm2 let go in all, " + std::to_string(strong) +
                     " mm2 with the stronger bond"});
}
