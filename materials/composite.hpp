#pragma once
// Laws of a light-cured composite: light at depth, conversion, shrinkage, stiffness. Units: mm, s, MPa,
// mW/cm2.

#include <string>

#include "materials/flow.hpp"

namespace setstress {

/// I(d) = I0 (1 - R) exp(-mu d) (Beer-Lambert after surface reflection).
struct LightLaw {
  double reflection;   ///< R, share lost at the surface [-], in [0, 1)
  double attenuation;  ///< mu [1/mm], >= 0
  /// Irradiance [mW/cm2] at `depth` [mm] of composite below a surface lit with `irradiance`.
  [[nodiscard]] double at_depth(double irradiance, double depth) const;
  bool operator==(const LightLaw&) const = default;
};

/// Autocatalytic cure in the relative conversion a = conversion / limiting conversion:
/// da/dt = rate (I/Iref)^p (a + seed)^m (1 - a)^n; after the light goes off the rate decays with
/// exp(-t/dark_time). With a `dark_share` the rate is (1 - share) times that of the light, at once, and share
/// times one that follows the light with dark_time: what cures in the dark then follows what was lit before,
/// and the dose is irradiance^p times time lit, whatever part of it comes late.
/// Paste that has vitrified stops short of full conversion. With a `limit_exponent` light brings (1 - a)^n no
/// further than a limit, (I/Iref)^limit_exponent and at most 1, where I is the strongest light that the point
/// has seen. With a `late_gain` g conversion has two parts, a = b + c: b is what light brings, up to 1/(1 +
/// g) of that limit, by the law above with (limit/(1 + g) - b)^n in place of (1 - a)^n; c follows it in the
/// days after, dc/dt = (g b - c)/late_time.
struct CureLaw {
  double rate;                  ///< k [1/s] at the reference irradiance, > 0
  double reference_irradiance;  ///< Iref [mW/cm2], > 0
  double irradiance_exponent;   ///< p [-], in [0, 1]
  double order_growth;          ///< m [-], in [0, 2]
  double order_depletion;       ///< n [-], in (0, 4]
  double seed;                  ///< a_seed [-], in (0, 0.1]; without it the rate at a = 0 is zero for ever
  double dark_time;             ///< time constant of dark cure [s], > 0
  double limiting_conversion;   ///< conversion of C=C bonds reached for a = 1 [-], in (0, 1]
  double dark_share = 0;  ///< share of the rate that comes late [-], in [0, 1]; 0: all that is left decays
  double limit_exponent = 0;  ///< [-], in [0, 1]; 0: a may reach 1 under any light
  double late_gain = 0;       ///< g, gained in the days after, of what light brought [-], in [0, 1]
  double late_time = 0;       ///< time constant of that [s], > 0 where there is a gain
  bool operator==(const CureLaw&) const = default;
};

/// What one point has been through. `drive` is the rate factor (I/Iref)^p that is active now: it follows the
/// light while that is on (never below what a stronger earlier light left behind) and decays in the dark.
/// With a dark_share it is the factor that comes late.
struct CureState {
  double conversion = 0;  ///< relative conversion a [-], in [0, 1]
  double drive = 0;       ///< [-]
  double brightest = 0;   ///< strongest light so far, I/Iref [-]
  double late = 0;        ///< what of `conversion` came in the days after, c [-]
  double age = 0;         ///< since light first reached the point [s]
};

/// Advances by `duration` [s] under constant local irradiance [mW/cm2]; sub-steps until the error estimate of
/// a is below 1e-6 (1e-4 with a late_gain). The result stays in [0, 1] and never decreases.
[[nodiscard]] CureState advance(const CureLaw& law, const CureState& state, double irradiance,
                                double duration);

/// Relative conversion up to which light of `brightest` I/Iref [-] can bring a point [-].
[[nodiscard]] double lit_limit(const CureLaw& law, double brightest);

/// Rate da/dt [1/s] at relative conversion `a` under the drive (I/Iref)^p, where light brings a up to
/// `limit`.
[[nodiscard]] double cure_rate(const CureLaw& law, double a, double drive, double limit = 1);

/// Largest rate da/dt [1/s] at relative conversions from `a` on, under a drive of 1.
[[nodiscard]] double fastest_rate_ahead(const CureLaw& law, double a);

/// By how much a modulus has risen with age at the start of a step, on average over it, and at its end [-].
struct Risen {
  double start = 1, mean = 1, end = 1;
};

/// Young's modulus against relative conversion: a small floor up to the gel point, then
/// E_final ((a - a_gel)/(1 - a_gel))^q. Poisson's ratio is constant, or, where `unset_poisson_ratio` is
/// given, falls as the paste sets: the law is then that of the shear modulus, and the bulk modulus is that of
/// the set composite as soon as it is no more than unset paste allows at its shear modulus. Where an
/// `early_modulus` is given, all moduli at a given conversion rise with age, from early_modulus/E_final of
/// their value to all of it, with `rise_time`; the functions of `a` alone are for old composite.
struct StiffnessLaw {
  double final_modulus;  ///< E_final [MPa], > 0
  double poisson_ratio;  ///< [-], in (-1, 0.5)
  double gel_point;      ///< a_gel, relative conversion [-], in [0, 1)
  double exponent;       ///< q [-], >= 0; q = 0 is full stiffness at once
  double floor = 1e-5;   ///< smallest modulus as a share of E_final [-], > 0, keeps unset paste solvable
  double unset_poisson_ratio = 0;  ///< [-], in [poisson_ratio, 0.5); 0: as when set

  double early_modulus = 0;  ///< at full conversion right after the light [MPa], in [0, E_final]; 0: no rise
  double rise_time = 0;      ///< [s], > 0 where there is an early modulus

  [[nodiscard]] double modulus(double a) const;  ///< [MPa]
  /// In a step between two ages [s], age1 not below age0.
  [[nodiscard]] Risen risen(double age0, double age1) const;
  /// Mean of modulus(a) over [a0, a1] [MPa], exact: so that a rod held at both ends ends at E_final eps/(q +
  /// 1) whatever the step size. a0 == a1 gives modulus(a0).
  [[nodiscard]] double mean_modulus(double a0, double a1) const;
  [[nodiscard]] double shear_modulus(double a) const;                   ///< [MPa]
  [[nodiscard]] double mean_shear_modulus(double a0, double a1) const;  ///< [MPa]
  [[nodiscard]] double bulk_modulus(double a) const;                    ///< [MPa]
  [[nodiscard]] double mean_bulk_modulus(double a0, double a1) const;   ///< [MPa], exact as mean_modulus()
  bool operator==(const StiffnessLaw&) const = default;
};

/// A class of light-cured composite (no trade names).
struct Composite {
  std::string name;
  LightLaw light;
  CureLaw cure;
  StiffnessLaw stiffness;
  double volumetric_shrinkage;  ///< volume lost at a = 1 [-], in [0, 0.2]
  double tensile_strength;      ///< of the set composite [MPa], for reports only
  double increment_depth =
      0;  ///< that one increment is meant for at most [mm], for reports only; 0: not known
  FlowLaw flow = {};
  double radiopacity = 0;  ///< mm of aluminium that take as much of an X-ray beam as 1 mm; 0: not known

  /// Whether one elastic spring of constant Poisson's ratio is all there is to its stress.
  [[nodiscard]] bool is_plain() const { return !flow.flows() && stiffness.unset_poisson_ratio == 0; }
  /// Linear free strain [-] (negative: shrinkage) at relative conversion `a`: -(volumetric_shrinkage / 3) a.
  [[nodiscard]] double free_strain(double a) const { return -volumetric_shrinkage / 3.0 * a; }
  bool operator==(const Composite&) const = default;
};

}  // namespace setstress
