// What must be true of every step of every case: of energy, damage, conversion and forces. The laws are
// derived from equilibrium and the second law; no source is needed beside them.

#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/properties/solved_model.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

/// Follows a run and keeps the worst that was seen.
class Watch {
 public:
  explicit Watch(const Model& model) : model_(model) {}
  void see(const Frame& frame);

  double largest_healing = 0;    ///< strength that came back, or conversion that went back [-]
  double largest_excursion = 0;  ///< of strength lost or conversion out of [0, 1] [-]
  double largest_unbalance = 0;  ///< sum of all forces on the body [N]
  double largest_force = 0;      ///< sum of the sizes of reactions and loads [N]
  double strength_lost = 0;      ///< largest, at the end [-]

 private:
  void see_shares(double before, double now);
  const Model& model_;
  Frame before_;
};

void Watch::see_shares(double before, double now) {
  largest_healing = std::max(largest_healing, before - now);
  largest_excursion = std::max({largest_excursion, -now, now - 1});
}

/// Resultant of the pressures at one instant [N], from areas and normals.
Eigen::Vector3d resultant(const Model& model, double time) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (const Pressure& load : model.pressures)
    for (const Surface& surface : model.mesh.surfaces)
      if (surface.name == load.surface)
        for (const SixNodes& facet : surface.facets) {
          const AreaAndNormal flat = area_and_normal(model.mesh, facet);
          const double reached = load.ramp > 0 ? std::min(1.0, time / load.ramp) : 1.0;
          sum -= reached * load.pressure * flat.area * flat.normal;
        }
  return sum;
}

void Watch::see(const Frame& frame) {
  for (std::size_t f = 0; f < frame.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p)
      see_shares(before_.bond.empty() ? 0.0 : before_.bond[f][p].strength_lost,
                 frame.bond[f][p].strength_lost);
  for (std::size_t t = 0; t < frame.conversion.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p)
      see_shares(before_.conversion.empty() ? 0.0 : before_.conversion[t][p], frame.conversion[t][p]);
  Eigen::Vector3d sum = resultant(model_, frame.time);
  double sizes = sum.norm();
  for (const Eigen::Vector3d& reaction : frame.reactions) {
    sum += reaction;
    sizes += reaction.norm();
  }
  for (std::size_t f = 0; f < frame.bond.size();
       ++f)  // the bond pulls both ways: a measure of force, no load
    for (std::size_t p = 0; p < 6; ++p)
      sizes += frame.bond[f][p].traction.norm() * facet_points()[p].weight *
               area_and_normal(model_.mesh, model_.mesh.bond[f].tooth).area;
  largest_unbalance = std::max(largest_unbalance, sum.norm());
  largest_force = std::max(largest_force, sizes);
  strength_lost = 0;
  for (const auto& facet : frame.bond)
    for (const BondPoint& point : facet) strength_lost = std::max(strength_lost, point.strength_lost);
  before_ = frame;
}

}  // namespace

TEST_CASE("energy closes, nothing heals, shares stay shares and forces balance in random cases",
          "[properties]") {
  const auto drawn = seeds({1, 2, 3, 4, 6, 7, 10});
  double energy = 0, healing = 0, excursion = 0, unbalance = 0, most_lost = 0;
  int steps = 0;
  for (const std::uint64_t seed : drawn) {
    const RandomCase c = random_case(seed);
    INFO(c.text());
    Posed p = posed(c);
    p.options.equilibrium_tolerance = 1e-8;
    p.options.linear_tolerance = 1e-10;
    Watch watch(p.model);
    const Solved run = solved(p.model, p.options, [&](const Frame& frame) { watch.see(frame); });
    CHECK(run.outcome.largest_energy_error < 1e-6);
    CHECK(watch.largest_healing == 0.0);
    CHECK(watch.largest_excursion <= 0.0);
    CHECK(watch.largest_unbalance < 1e-6 * watch.largest_force);
    if (!c.debonding) CHECK(watch.strength_lost == 0.0);
    energy = std::max(energy, run.outcome.largest_energy_error);
    healing = std::max(healing, watch.largest_healing);
    excursion = std::max(excursion, watch.largest_excursion);
    unbalance = std::max(unbalance, watch.largest_unbalance / watch.largest_force);
    most_lost = std::max(most_lost, watch.strength_lost);
    steps += run.outcome.timings.steps;
  }
  std::vector<Comparison> comparisons{
      at_most("energy that is not accounted for, of the work done", "-", 1e-6, energy),
      at_most("strength or conversion that goes back", "-", 0, healing),
      at_most("strength lost or conversion outside 0 to 1", "-", 0, excursion),
      at_most("sum of reactions and loads, of the forces at work", "-", 1e-6, unbalance)};
  if (drawn.size() > 1)  // of one seed it may be true that nothing lets go
    comparisons.push_back(at_least("most strength lost at any point", "-", 0.99, most_lost));
  verify({.chapter = "Properties of random cases",
          .title = "energy closes, nothing heals, shares stay shares, forces balance",
          .source = "derived: equilibrium and the second law",
          .formula = "at every step of every case",
          .mesh = "seeds " + listed(drawn) + "; 1,000 to 8,000 unknowns, " + std::to_string(steps) + " steps",
          .tolerance_because = "Equilibrium is found to 1e-8 of the forces; what never goes back is exact.",
          .comparisons = comparisons});
}
