#pragma once
// Parts of the case files of the ladder: handbook composite (stiff from the start, shrinking in proportion to
// its conversion, lit to the end), plates, films and holds. Units: mm, N, s, MPa.

#include <fmt/format.h>

#include <string>

namespace setstress::testing {

/// Composite of constant modulus [MPa] and linear shrinkage [-]; light reaches every point unweakened, and
/// after 60 s conversion is complete to exp(-30). The fixture is what plates, rings and shells are made of.
struct Solids {
  double composite_modulus = 10'000, composite_poisson = 0.3, shrinkage = 0.002;
  double fixture_modulus = 18'000, fixture_poisson = 0.31;
};

inline std::string materials(const Solids& s) {
  return fmt::format(R"(
[materials]
beyond_published = true
filling = "conventional-paste"
fixture = "aluminium"
tissue_attenuation = 0.0
[materials.override.conventional-paste]
volumetric_shrinkage = {:.17g}
[materials.override.conventional-paste.light]
reflection = 0.0
attenuation = 0.0
[materials.override.conventional-paste.cure]
rate = 0.5
reference_irradiance = 1000.0
irradiance_exponent = 0.5
order_growth = 0.0
order_depletion = 1.0
[materials.override.conventional-paste.stiffness]
youngs_modulus = {:.17g}
poisson_ratio = {:.17g}
gel_point = 0.0
exponent = 0.0
[materials.override.aluminium]
youngs_modulus = {:.17g}
poisson_ratio = {:.17g}
)",
                     3 * s.shrinkage, s.composite_modulus, s.composite_poisson, s.fixture_modulus,
                     s.fixture_poisson);
}

/// A body without filling.
inline std::string fixture_only(double modulus, double poisson) {
  return fmt::format(
      "\n[materials]\nbeyond_published = true\nfixture = "
      "\"aluminium\"\n[materials.override.aluminium]\nyoungs_modulus = {:.17g}\n"
      "poisson_ratio = {:.17g}\n",
      modulus, poisson);
}

/// Strength [MPa] and fracture energy [N/mm] of a film; the default never fails and may be as soft as it
/// likes.
struct FilmStrength {
  double strength = 30, fracture_energy = 1e9;
};

/// Springs [MPa/mm] in place of an adhesive, mature at once.
inline std::string film(double normal_stiffness, double shear_stiffness, const FilmStrength& limit = {}) {
  std::string text = fmt::format(
      "\n[bond]\nnormal_stiffness = {:.17g}\nshear_stiffness = {:.17g}\n"
      "[bond.strength_maturity]\nlaw = \"mature-at-once\"\n[bond.stiffness_maturity]\nlaw = "
      "\"mature-at-once\"\n",
      normal_stiffness, shear_stiffness);
  for (const char* substrate :
       {"enamel", "coronal-dentin", "middle-dentin", "cervical-dentin", "radicular-dentin", "fixture"})
    text += fmt::format(
        "[bond.strength.{}]\ntensile = {:.17g}\nshear = {:.17g}\nfracture_energy_opening = {:.17g}\n"
        "fracture_energy_sliding = {:.17g}\n",
        substrate, limit.strength, limit.strength, limit.fracture_energy, limit.fracture_energy);
  return text;
}
/// A film that lets the two sides slide past each other.
inline constexpr double slippery = 1e-3;

inline std::string hold(const std::string& surface, const std::string& components = "xyz",
                        const std::string& more = "") {
  return fmt::format("\n[[hold]]\nsurface = \"{}\"\ncomponents = \"{}\"\n{}\n", surface, components, more);
}

inline std::string pressure(const std::string& surface, double value) {
  return fmt::format("\n[[pressure]]\nsurface = \"{}\"\nvalue = {:.17g}\n", surface, value);
}

/// One increment, placed at once and lit for 60 s.
inline const std::string lit_at_once = R"(
[plan]
end = "1 s"
[[plan.increment]]
placing_time = 0.0
[[plan.increment.light]]
irradiance = 1000.0
duration = "60 s"
delay = 0.0
)";

/// Size along the bond [mm], inside the filling, and elsewhere.
inline std::string mesh(double bond, double filling, double far, bool tied = false) {
  return fmt::format("\n[mesh]\nfineness = {:.17g}\nfilling = {:.17g}\nfar = {:.17g}\ntied_bond = {}\n", bond,
                     filling, far, tied);
}

/// Linear problems: the length of the steps does not matter, the digits do.
inline const std::string linear_solver = R"(
[solver]
largest_conversion_step = 0.5
largest_time_step = "1000 s"
equilibrium_tolerance = 1e-9
linear_tolerance = 1e-10
)";

}  // namespace setstress::testing
