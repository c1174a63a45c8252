#include "cases/fit/aged_bond.hpp"

#include <algorithm>
#include <cmath>

namespace setstress {

MaturityLaw AgedBond::maturity() const {
  // Constants at a bound may lie beyond it by round-off.
  if (law == chairside_law) return MaturityLaw::chairside_rule(std::min(at_once, 0.7));
  if (law == mature_law) return MaturityLaw::mature_at_once();
  const double allowed = std::clamp(ratio, 0.6, 1.0);
  return MaturityLaw::ten_minute_pair(allowed, std::min(at_once, allowed));
}

double AgedBond::strength(double age, double area, bool sheared) const {
  const BondStrength& mature = values();
  return (sheared ? mature.shear : mature.tensile) * maturity()(age) *
         std::pow(mature.stick_area / area, 1 / mature.weibull_modulus);
}

Adhesive AgedBond::maturing() const {
  Adhesive matures = adhesive;
  matures.strength_maturity.insert_or_assign(substrate, maturity());
  return matures;
}

std::string substrate_key(Substrate substrate) {
  std::string key = name_of(substrate);
  std::replace(key.begin(), key.end(), ' ', '-');
  return key;
}

}  // namespace setstress
