#pragma once
// Small models for the solver's tests.

#include "mesh/build/build_mesh.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

/// Composite that is stiff from the start (q = 0, no gel point) and shrinks in proportion to conversion: the
/// plain eigenstrain problem of the handbooks. E [MPa], linear shrinkage [-].
inline Composite always_stiff(double youngs_modulus, double poisson_ratio, double linear_shrinkage) {
  return {.name = "test composite",
          .light = {.reflection = 0, .attenuation = 0},
          .cure = {.rate = 0.5,
                   .reference_irradiance = 1000,
                   .irradiance_exponent = 0.5,
                   .order_growth = 0,  // straight decay, so that conversion is complete within the run
                   .order_depletion = 1,
                   .seed = 0.005,
                   .dark_time = 30,
                   .limiting_conversion = 0.6},
          .stiffness = {.final_modulus = youngs_modulus,
                        .poisson_ratio = poisson_ratio,
                        .gel_point = 0,
                        .exponent = 0},
          .volumetric_shrinkage = 3 * linear_shrinkage,
          .tensile_strength = 40};
}

/// Adhesive with the same given film and strength everywhere, mature at once.
inline Adhesive uniform_adhesive(double normal_stiffness, double shear_stiffness, BondStrength strength) {
  Adhesive adhesive{.name = "test adhesive",
                    .youngs_modulus = 1000,
                    .poisson_ratio = 0.3,
                    .film_thickness = 0.02,
                    .strength = {},
                    .strength_maturity = {},
                    .stiffness_maturity = {},
                    .normal_stiffness_override = normal_stiffness,
                    .shear_stiffness_override = shear_stiffness};
  for (const Substrate substrate : all_substrates) {
    adhesive.strength.emplace(substrate, strength);
    adhesive.strength_maturity.emplace(substrate, MaturityLaw::mature_at_once());
    adhesive.stiffness_maturity.emplace(substrate, MaturityLaw::mature_at_once());
  }
  return adhesive;
}

inline constexpr BondStrength strong{
    .tensile = 20, .shear = 20, .fracture_energy_opening = 0.05, .fracture_energy_sliding = 0.05};

/// A specimen lit from above for 60 s: conversion completes (1 - a = exp(-30)).
inline Model model_of(const Specimen& specimen, const MeshSize& size, const Composite& composite,
                      const Elastic& fixture, const Adhesive& adhesive) {
  Model model;
  model.mesh = build_mesh(specimen, size);
  int increments = 0;
  for (const Region& region : model.mesh.regions) {
    if (region.is_filling())
      model.materials.emplace_back(composite);
    else
      model.materials.emplace_back(fixture);
    increments = std::max(increments, region.increment + 1);
  }
  model.adhesive = adhesive;
  model.substrates.assign(model.mesh.bond.size(), Substrate::fixture);
  for (int i = 0; i < increments; ++i) model.timeline.placements.push_back({.increment = i, .time = 0});
  model.timeline.exposures.push_back(
      {.start = 0, .duration = 60, .irradiance = 1000, .direction = {0, 0, -1}});
  model.timeline.end = 60;
  return model;
}

inline FixedSurface hold(const std::string& surface, bool x, bool y, bool z) {
  return {.surface = surface, .held = {x, y, z}};
}

/// The last frame of a run.
inline Frame final_frame(const Model& model, const SolveOptions& options, Outcome* outcome = nullptr) {
  Frame last;
  const Outcome result = simulate(model, options, [&](const Frame& frame, const Progress&) {
    last = frame;
    return true;
  });
  if (outcome != nullptr) *outcome = result;
  return last;
}

}  // namespace setstress
