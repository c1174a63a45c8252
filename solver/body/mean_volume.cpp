#include "solver/body/mean_volume.hpp"

#include <algorithm>

namespace setstress {
namespace {

constexpr double by_shear = 2.0 / 3.0;  // bulk over shear modulus where Lame's first constant is 0

}  // namespace

ElementModuli element_moduli(const std::array<Moduli, 4>& whole, double poisson_ratio) {
  const double when_set = 2 * (1 + poisson_ratio) / (3 * (1 - 2 * poisson_ratio));  // bulk over shear modulus
  ElementModuli moduli;
  for (std::size_t p = 0; p < 4; ++p) {
    const auto [shear, bulk] = whole[p];
    const double set = std::min(1.0, when_set * shear / bulk);
    moduli.shear[p] = shear;
    moduli.bulk[p] = std::min(bulk, shear * (set * when_set + (1 - set) * by_shear));
    moduli.bulk_of_mean += 0.25 * (bulk - moduli.bulk[p]);
  }
  return moduli;
}

std::array<double, 4> borne(const std::array<Moduli, 4>& whole, const ElementModuli& moduli,
                            const std::array<double, 4>& change) {
  const double mean = 0.25 * (change[0] + change[1] + change[2] + change[3]);
  std::array<double, 4> borne;
  for (std::size_t p = 0; p < 4; ++p)
    borne[p] = (moduli.bulk[p] * change[p] + moduli.bulk_of_mean * mean) / whole[p].bulk;
  return borne;
}

}  // namespace setstress
