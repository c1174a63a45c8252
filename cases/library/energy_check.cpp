#include "cases/library/energy_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace setstress {
namespace {

/// Largest ratio of strength to stiffness maturity [-]. Strength and fracture energy age alike, so the energy
/// stored at strength over the fracture energy goes with this ratio; between the points of both laws it is
/// monotone.
double worst_ageing(const MaturityLaw& strength, const MaturityLaw& stiffness) {
  double worst = 0;
  for (const MaturityLaw* law : {&strength, &stiffness}) {
    for (const auto& [time, maturity] : law->points())
      worst = std::max(worst, strength(time) / stiffness(time));
  }
  return worst;
}

void require_energy(const Section& section, const std::string& key, double energy, double strength,
                    double stiffness, double ageing) {
  const double stored = ageing * strength * strength / (2 * stiffness);
  if (energy > stored) return;
  section.fail(
      key,
      fmt::format("is {:g} [N/mm]; must be above {:.4g}, the elastic energy S^2/(2 k) at the strength S = "
                  "{:g} [MPa] of a film of stiffness k = {:.4g} [MPa/mm] at the age when it stores most: "
                  "raise it, lower the strength or make the film stiffer",
                  energy, stored, strength, stiffness));
}

}  // namespace

void check_fracture_energies(const Adhesive& adhesive, const Section& section,
                             const std::vector<Substrate>& touched) {
  for (const auto& [substrate, bond] : adhesive.strength) {
    if (std::find(touched.begin(), touched.end(), substrate) == touched.end()) continue;
    const auto strength_law = adhesive.strength_maturity.find(substrate);
    const auto stiffness_law = adhesive.stiffness_maturity.find(substrate);
    const bool ages = strength_law != adhesive.strength_maturity.end() &&
                      stiffness_law != adhesive.stiffness_maturity.end();
    const double ageing = ages ? worst_ageing(strength_law->second, stiffness_law->second) : 1.0;
    std::string key = name_of(substrate);
    std::replace(key.begin(), key.end(), ' ', '-');
    require_energy(section, "strength." + key + ".fracture_energy_opening", bond.fracture_energy_opening,
                   bond.tensile, adhesive.normal_stiffness(), ageing);
    require_energy(section, "strength." + key + ".fracture_energy_sliding", bond.fracture_energy_sliding,
                   bond.shear, adhesive.shear_stiffness(), ageing);
  }
}

}  // namespace setstress
