#pragma once
// Strength of a bond over its age and the area that is pulled.

#include <string>

#include "materials/bond.hpp"

namespace setstress {

/// Maturity laws of strength whose constants can be found, as material files name them.
inline constexpr const char* chairside_law = "chairside-rule";
inline constexpr const char* ten_minute_law = "ten-minute-pair";
inline constexpr const char* mature_law = "mature-at-once";

/// An adhesive's bond to one substrate, which matures by one of these laws.
struct AgedBond {
  Adhesive adhesive;
  Substrate substrate = Substrate::coronal_dentin;
  std::string law = mature_law;
  double at_once = 0.5, ratio = 0.69;  ///< of the law, where it has them [-]

  [[nodiscard]] BondStrength& values() { return adhesive.strength.at(substrate); }
  [[nodiscard]] const BondStrength& values() const { return adhesive.strength.at(substrate); }
  [[nodiscard]] MaturityLaw maturity() const;
  /// Mean strength [MPa] of pieces of `area` [mm2], `age` [s] after the bond was cured: the mature one, times
  /// maturity, times (stick_area / area)^(1/m) by the weakest link (Weibull 1939).
  [[nodiscard]] double strength(double age, double area, bool sheared) const;
  /// The adhesive with that maturity.
  [[nodiscard]] Adhesive maturing() const;
};

/// "coronal-dentin", as in files.
std::string substrate_key(Substrate substrate);

}  // namespace setstress
