#pragma once
// The adhesive film and its bond to a substrate: stiffness, strength, fracture energy, and how they mature.

#include <map>
#include <string>
#include <vector>

#include "materials/tissue.hpp"

namespace setstress {

/// Maturity m(t) in [0, 1]: strength (or stiffness) now as a share of the fully matured bond; t [s] since the
/// bond was cured. Monotone, piecewise linear in the logarithm of (1 + t/1 s) between its points, constant
/// after the last.
class MaturityLaw {
 public:
  struct Point {
    double time;      ///< [s], >= 0, strictly increasing; the first is 0
    double maturity;  ///< [-], in (0, 1], not decreasing
    bool operator==(const Point&) const = default;
  };
  /// Throws std::invalid_argument, naming the point, for anything but the above.
  MaturityLaw(std::string name, std::vector<Point> points);
  [[nodiscard]] double operator()(double time) const;  ///< throws for negative time
  bool operator==(const MaturityLaw&) const = default;
  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] const std::vector<Point>& points() const { return points_; }

  /// 70 % 1 min after the bond is cured, 80 % at 3 min, 90 % at 5 min, complete at 120 h (common practice, no
  /// source). `at_once` [-], in (0, 0.7], right after curing is an open assumption.
  static MaturityLaw chairside_rule(double at_once);
  /// `ratio` of 10 min to 24 h strength in [0.6, 1] (published: 0.61 to 0.96, Price and Hall 1999,
  /// Quintessence Int 30:122-134); `at_once` in (0, ratio] right after curing is an open assumption; complete
  /// at 24 h.
  static MaturityLaw ten_minute_pair(double ratio, double at_once);
  /// Constant 1 (Sadek 2005, J Adhes Dent 7:297-302 found no change between immediate and 24 h).
  static MaturityLaw mature_at_once();
  static MaturityLaw table(std::vector<Point> points);

 private:
  std::string name_;
  std::vector<Point> points_;
};

/// Values of the fully matured bond to one substrate.
struct BondStrength {
  double tensile;                  ///< Sn [MPa], > 0
  double shear;                    ///< St [MPa], > 0
  double fracture_energy_opening;  ///< G_I [N/mm] (1 J/m2 = 1e-3 N/mm), > 0
  double fracture_energy_sliding;  ///< G_II [N/mm], > 0
  /// How much the strength of sticks of `stick_area` scatters [-], > 0: a share 1 - exp(-(s/s0)^m) of them
  /// has failed at s, where s0 = tensile / gamma(1 + 1/m), so that `tensile` is their mean. 0: not known.
  double weibull_modulus = 0;
  double stick_area = 1;  ///< that Sn and St were measured on [mm2], > 0
  bool operator==(const BondStrength&) const = default;
};

/// A class of adhesive (no trade names): film of thickness t_a with E, nu.
struct Adhesive {
  std::string name;
  double youngs_modulus;  ///< of the film [MPa]
  double poisson_ratio;   ///< [-]
  double film_thickness;  ///< [mm]
  std::map<Substrate, BondStrength> strength;
  std::map<Substrate, MaturityLaw> strength_maturity;  ///< also scales the fracture energies (assumption)
  std::map<Substrate, MaturityLaw> stiffness_maturity;
  /// Direct film stiffness [MPa/mm], for checks and users who know it; 0: from E, nu and thickness.
  double normal_stiffness_override = 0, shear_stiffness_override = 0;

  /// Confined modulus E(1-nu)/((1+nu)(1-2nu)) over thickness [MPa/mm], fully matured.
  [[nodiscard]] double normal_stiffness() const;
  /// Shear modulus over thickness [MPa/mm], fully matured.
  [[nodiscard]] double shear_stiffness() const;
  bool operator==(const Adhesive&) const = default;
};

/// The bond to one wall where its values differ from the adhesive's own, fully matured. It matures as the
/// adhesive's does.
struct WallBond {
  double normal_stiffness, shear_stiffness;  ///< of the film [MPa/mm]
  std::map<Substrate, BondStrength> strength;
  bool operator==(const WallBond&) const = default;
};
/// That of a wall with the adhesive's own values.
WallBond wall_bond(const Adhesive& adhesive);

}  // namespace setstress
