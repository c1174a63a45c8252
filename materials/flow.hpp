#pragma once
// How a composite flows while it sets. Units: s; shares and conversions without unit.

#include <array>
#include <cstddef>

namespace setstress {

/// Part of the stiffness that relaxes: a spring and a dashpot in line (Maxwell), whose relaxation time grows
/// with conversion.
struct MaxwellBranch {
  double share = 0;      ///< of the stiffness gained after vitrification [-], in [0, 1]
  double time_soft = 0;  ///< relaxation time up to vitrification [s], > 0 where the branch is in use
  double time_set =
      0;  ///< at full conversion [s], not below time_soft; in between in proportion in log(time)
  bool operator==(const MaxwellBranch&) const = default;
};

/// Stiffness gained up to vitrification flows as a whole, with the first branch: a Maxwell fluid. Of what is
/// gained after it, each branch takes its share and the rest stays elastic, which together is a spring in
/// line with Kelvin elements. Maxwell first and Kelvin later is what fitted a light-cured hybrid while it set
/// (Dauvillier, Aarnts and Feilzer 2003, Dent Mater 19:277). Shape flows; volume does only as far as `volume`
/// says.
struct FlowLaw {
  double vitrification = 0;  ///< relative conversion [-], in [0, 1)
  double volume = 0;         ///< share of a branch's bulk stiffness that relaxes with it [-], in [0, 1]
  std::array<MaxwellBranch, 2> branches;

  /// Whether anything flows at all.
  [[nodiscard]] bool flows() const;
  /// Whether stress can come to this branch.
  [[nodiscard]] bool uses(std::size_t branch) const;
  /// Relaxation time [s] of a branch in use at relative conversion `a`.
  [[nodiscard]] double time(std::size_t branch, double a) const;
  /// Integral of dt/time [-] over `duration` [s] in which conversion goes from a0 to a1 at a constant rate.
  /// Throws std::invalid_argument for times that are not as said above.
  [[nodiscard]] double elapsed(std::size_t branch, double a0, double a1, double duration) const;
  bool operator==(const FlowLaw&) const = default;
};

/// What is left after x relaxation times, exp(-x) [-].
[[nodiscard]] double share_left(double elapsed);
/// What is left of a stress built up at constant strain rate over x relaxation times, (1 - exp(-x))/x [-].
[[nodiscard]] double share_built(double elapsed);

}  // namespace setstress
