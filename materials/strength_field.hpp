#pragma once
// How strength varies along a bond: a random field, the same for the same seed on any mesh.

#include <Eigen/Core>
#include <cstdint>
#include <vector>

namespace setstress {

/// A homogeneous, isotropic random field of normal distribution, mean 0 and variance 1, whose values at a
/// distance r correlate by exp(-(r/length)^2): a sum of cosines with random directions, wave lengths and
/// phases (Shinozuka and Jan 1972, J Sound Vib 25:111-128, from memory; wave numbers drawn from the spectrum
/// of that correlation).
class RandomField {
 public:
  /// `length` [mm], > 0. The same seed, the same field, but for its scale.
  RandomField(double length, std::uint64_t seed);
  /// At `place` [mm].
  [[nodiscard]] double at(const Eigen::Vector3d& place) const;

 private:
  struct Wave {
    Eigen::Vector3d number;  ///< [1/mm]
    double phase;
  };
  std::vector<Wave> waves_;
};

/// Weibull-distributed with this modulus and mean 1, at the quantile at which `normal` lies in the standard
/// normal distribution; below -4 and above 4 as there [-].
double weibull_factor(double normal, double modulus);

/// As a case asks for it.
struct StrengthField {
  double length;               ///< [mm]
  double weibull_modulus = 0;  ///< of places [-]; 0: that of the sticks of each substrate
  std::uint64_t seed = 1;
  bool operator==(const StrengthField&) const = default;
};

}  // namespace setstress
