#pragma once
// A setting composite as springs side by side, of which one stays elastic and the others relax: their moduli
// over one step of conversion. Units: MPa, s.

#include <array>

#include "materials/composite.hpp"

namespace setstress {

/// Shear and bulk modulus [MPa], 0 or more.
struct Moduli {
  double shear = 0, bulk = 0;
};

/// One chain over one step.
struct ChainStep {
  Moduli start, mean, end;  ///< mean over the conversions of the step
  double left = 1;          ///< of the stress at the start of the step [-]
  double built = 1;         ///< of the stress that the step builds up at constant strain rate [-]
};
/// The first is elastic, the others are the branches of the flow law. Together they have the stiffness of the
/// composite.
using ChainSteps = std::array<ChainStep, 3>;

/// The chains of `composite` while relative conversion goes from a0 to a1, not below it, in `duration` [s],
/// and its moduli rise with age as `risen` says.
[[nodiscard]] ChainSteps chain_steps(const Composite& composite, double a0, double a1, double duration,
                                     const Risen& risen = {});

}  // namespace setstress
