#include "materials/composite.hpp"

#include <fmt/format.h>

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

}  // namespace setstress
