#include "solver/bench/benchmark_model.hpp"

namespace setstress::bench {

Model benchmark_model(const Mesh& mesh) {
  Model model;
  model.mesh = mesh;
  const Composite composite{
      .name = "benchmark composite",
      .light = {.reflection = 0.05, .attenuation = 0.4},
      .cure = {.rate = 0.3,
               .reference_irradiance = 1000,
               .irradiance_exponent = 0.5,
               .order_growth = 0.4,
               .order_depletion = 1.6,
               .seed = 0.005,
               .dark_time = 30,
               .limiting_conversion = 0.6},
      .stiffness = {.final_modulus = 12e3, .poisson_ratio = 0.3, .gel_point = 0.1, .exponent = 2},
      .volumetric_shrinkage = 0.025,
      .tensile_strength = 40};
  for (const Region& region : mesh.regions)
    if (region.is_filling())
      model.materials.emplace_back(composite);
    else
      model.materials.emplace_back(Elastic{.name = "tooth", .youngs_modulus = 18e3, .poisson_ratio = 0.3});
  model.adhesive = {.name = "benchmark adhesive",
                    .youngs_modulus = 3000,
                    .poisson_ratio = 0.3,
                    .film_thickness = 0.02,
                    .strength = {},
                    .strength_maturity = {},
                    .stiffness_maturity = {}};
  for (const Substrate substrate : all_substrates) {
    model.adhesive.strength.emplace(substrate, BondStrength{12, 15, 0.04, 0.08});
    model.adhesive.strength_maturity.emplace(substrate, MaturityLaw::chairside_rule(0.6));
    model.adhesive.stiffness_maturity.emplace(substrate, MaturityLaw::chairside_rule(0.6));
  }
  model.substrates.assign(mesh.bond.size(), Substrate::coronal_dentin);
  model.fixed.push_back({.surface = "base"});
  for (int increment = 0; increment < 2; ++increment) {
    model.timeline.placements.push_back({.increment = increment, .time = 40.0 * increment});
    model.timeline.exposures.push_back(
        {.start = 40.0 * increment + 5, .duration = 20, .irradiance = 1000, .direction = {0, 0, -1}});
  }
  model.timeline.end = 80;
  return model;
}

}  // namespace setstress::bench
