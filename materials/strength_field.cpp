#include "materials/strength_field.hpp"

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_01.hpp>
#include <cmath>
#include <numbers>

namespace setstress {

namespace {

/// Enough for sums of them to be normal to the eye; fewer would show stripes.
constexpr int waves = 600;

}  // namespace

RandomField::RandomField(double length, std::uint64_t seed) {
  boost::random::mt19937_64 generator(seed);
  // the spectrum of exp(-(r/length)^2) is normal, with this deviation in every direction
  boost::random::normal_distribution<double> number(0, std::numbers::sqrt2);
  boost::random::uniform_01<double> share;
  for (int i = 0; i < waves; ++i) {
    Wave wave;
    for (double& component : wave.number) component = number(generator) / length;
    wave.phase = 2 * std::numbers::pi * share(generator);
    waves_.push_back(wave);
  }
}

double RandomField::at(const Eigen::Vector3d& place) const {
  double sum = 0;
  for (const auto& [number, phase] : waves_) sum += std::cos(number.dot(place) + phase);
  return std::sqrt(2.0 / waves) * sum;
}

double weibull_factor(double normal, double modulus) {
  const double above = 0.5 * std::erfc(std::clamp(normal, -4.0, 4.0) / std::numbers::sqrt2);
  return std::pow(-std::log(above), 1 / modulus) / std::tgamma(1 + 1 / modulus);
}

}  // namespace setstress
