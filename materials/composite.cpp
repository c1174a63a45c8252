#include "materials/composite.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace setstress {
namespace {

void require_conversion(double a) {
  if (!(a >= 0 && a <= 1)) {
    throw std::invalid_argument(fmt::format("relative conversion is {} [-]; must be in [0, 1]", a));
  }
}

void require_not_negative(const char* what, double value, const char* unit) {
  if (!(value >= 0 && std::isfinite(value))) {
    throw std::invalid_argument(fmt::format("{} is {} {}; must be 0 or more and finite", what, value, unit));
  }
}

/// Relative modulus s^q at s = (a - a_gel)/(1 - a_gel), 0 below the gel point; 0^0 = 1.
double set_share(const StiffnessLaw& law, double a) {
  return a < law.gel_point ? 0.0 : std::pow((a - law.gel_point) / (1 - law.gel_point), law.exponent);
}

/// Bulk over shear modulus at Poisson's ratio nu [-].
double bulk_over_shear(double nu) {
  return 2 * (1 + nu) / (3 * (1 - 2 * nu));
}

/// How much more bulk stiffness unset paste may have, against its shear stiffness, than set composite [-].
double bulk_excess(const StiffnessLaw& law) {
  return law.unset_poisson_ratio == 0
             ? 1.0
             : bulk_over_shear(law.unset_poisson_ratio) / bulk_over_shear(law.poisson_ratio);
}

/// Relative conversion from which on the bulk modulus is that of the set composite [-].
double bulk_set_from(const StiffnessLaw& law) {
  const double share = (1 / bulk_excess(law) - law.floor) / (1 - law.floor);
  if (share <= 0) return 0.0;
  return law.gel_point + (1 - law.gel_point) * (law.exponent == 0 ? 0.0 : std::pow(share, 1 / law.exponent));
}

/// Integral of s^q from s to s + ds with s, ds >= 0. Written with expm1 where the plain difference of the two
/// antiderivatives would cancel.
double power_integral(double s, double ds, double q) {
  const double n = q + 1;
  if (ds > s) return (std::pow(s + ds, n) - std::pow(s, n)) / n;
  return s == 0 ? 0.0 : std::pow(s, n) * std::expm1(n * std::log1p(ds / s)) / n;
}

}  // namespace

double LightLaw::at_depth(double irradiance, double depth) const {
  require_not_negative("irradiance", irradiance, "mW/cm2");
  require_not_negative("depth below the lit surface", depth, "mm");
  return irradiance * (1 - reflection) * std::exp(-attenuation * depth);
}

double StiffnessLaw::modulus(double a) const {
  require_conversion(a);
  return final_modulus * (floor + (1 - floor) * set_share(*this, a));
}

Risen StiffnessLaw::risen(double age0, double age1) const {
  if (early_modulus == 0) return {};
  const double missing = 1 - early_modulus / final_modulus, passed = (age1 - age0) / rise_time;
  const double at_start = missing * std::exp(-age0 / rise_time);
  return {1 - at_start, 1 - at_start * share_built(passed), 1 - at_start * share_left(passed)};
}

double StiffnessLaw::mean_modulus(double a0, double a1) const {
  if (a0 == a1) return modulus(a0);
  require_conversion(a0);
  require_conversion(a1);
  if (a0 > a1) std::swap(a0, a1);
  if (a1 <= gel_point) return final_modulus * floor;
  const double start = a0 < gel_point ? gel_point : a0;
  const double span = 1 - gel_point;
  const double set = span * power_integral((start - gel_point) / span, (a1 - start) / span, exponent);
  return final_modulus * (floor + (1 - floor) * set / (a1 - a0));
}

double StiffnessLaw::shear_modulus(double a) const {
  return modulus(a) / (2 * (1 + poisson_ratio));
}

double StiffnessLaw::mean_shear_modulus(double a0, double a1) const {
  return mean_modulus(a0, a1) / (2 * (1 + poisson_ratio));
}

double StiffnessLaw::bulk_modulus(double a) const {
  const double share = std::min(1.0, bulk_excess(*this) * modulus(a) / final_modulus);
  return share * final_modulus / (3 * (1 - 2 * poisson_ratio));
}

double StiffnessLaw::mean_bulk_modulus(double a0, double a1) const {
  if (a0 == a1) return bulk_modulus(a0);
  if (a0 > a1) std::swap(a0, a1);
  const double set = final_modulus / (3 * (1 - 2 * poisson_ratio));
  const double excess = bulk_excess(*this), from = bulk_set_from(*this);
  if (a0 >= from) return set;
  const double end = std::min(a1, from);
  const double rising = excess * mean_modulus(a0, end) / final_modulus * (end - a0) / (a1 - a0);
  return set * (rising + (a1 - end) / (a1 - a0));
}

}  // namespace setstress
