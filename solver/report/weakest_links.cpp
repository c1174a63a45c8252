#include "solver/report/weakest_links.hpp"

#include <cmath>
#include <limits>

namespace setstress {

WeakestLinks::WeakestLinks(const Model& model)
    : highest_ratio_(6 * model.mesh.bond.size(), 0.0),
      share_failed_(highest_ratio_.size(), 0.0),
      failed_(model.mesh.bond.size(), 0.0) {
  for (std::size_t f = 0; f < model.mesh.bond.size(); ++f) {
    const BondStrength& bond = strength_at(model, f);
    const double m = bond.weibull_modulus;
    scatter_.push_back({m, m > 0 ? std::tgamma(1 + 1 / m) : 0, bond.stick_area});
  }
}

void WeakestLinks::see(const std::vector<double>& ratios, const std::vector<double>& areas) {
  for (std::size_t f = 0; f < scatter_.size(); ++f) {
    const auto [modulus, factor, stick_area] = scatter_[f];
    failed_[f] = modulus > 0 ? 0 : std::numeric_limits<double>::quiet_NaN();
    for (std::size_t p = 6 * f; p < 6 * f + 6; ++p) {
      if (ratios[p] > highest_ratio_[p]) {
        highest_ratio_[p] = ratios[p];
        share_failed_[p] = std::pow(factor * ratios[p], modulus);
      }
      failed_[f] += areas[p] / stick_area * share_failed_[p];
    }
  }
}

double WeakestLinks::chance_started(const std::vector<std::size_t>& facets) const {
  double failed = 0;
  for (const std::size_t facet : facets) failed += failed_[facet];
  return -std::expm1(-failed);
}

}  // namespace setstress
