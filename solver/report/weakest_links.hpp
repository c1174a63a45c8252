#pragma once
// The chance that a wall starts to fail somewhere, from what small sticks of the same bond scatter by.
//
// Weakest link (Weibull 1939, Ing Vetensk Akad Handl 151:1, from memory): an area A under the same load fails
// with the chance 1 - exp(-(A/A0) (s/s0)^m), so that areas add up in the exponent. Here (s/s0) is the ratio
// of stress to the strength of the moment, averaged along the bond (averaged_bond.hpp), times gamma(1 + 1/m),
// as strengths are means of sticks; of each place the highest ratio so far counts, for what has failed does
// not hold later. Failed somewhere is not let go: whether a failure spreads is a matter of energy. The
// scatter of sticks holds that of teeth and operators; all of it is taken as one of places here.

#include <cstddef>
#include <vector>

#include "solver/model/model.hpp"

namespace setstress {

/// Follows one run in which the bond holds.
class WeakestLinks {
 public:
  /// Knows nothing where no `weibull_modulus` is given. Throws std::out_of_range where a substrate has no
  /// strength.
  explicit WeakestLinks(const Model& model);

  /// The next frame of the run: averaged ratios and areas that points stand for [mm2], six a facet.
  void see(const std::vector<double>& ratios, const std::vector<double>& areas);

  /// That at least one place has failed by now on these facets [-]; NaN where that is not known for one of
  /// them.
  [[nodiscard]] double chance_started(const std::vector<std::size_t>& facets) const;

 private:
  struct Scatter {
    double modulus;  ///< [-]; 0: not known
    double factor;   ///< gamma(1 + 1/m)
    double area;     ///< A0 [mm2]
  };
  std::vector<Scatter> scatter_;       ///< by facet
  std::vector<double> highest_ratio_;  ///< so far, by point; six a facet
  std::vector<double> share_failed_;   ///< of places as large as A0 under that ratio, by point
  std::vector<double> failed_;         ///< places failed by now, mean, by facet
};

}  // namespace setstress
