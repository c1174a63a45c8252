#pragma once
// Stress of a composite that flows or whose Poisson's ratio changes, at one point: its chains side by side.

#include <array>

#include "materials/chains.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Stress of each chain [MPa]; the composite bears their sum.
using ChainStresses = std::array<Vector6d, 3>;
ChainStresses no_stress();
Vector6d sum(const ChainStresses& chains);

/// Shear and bulk modulus [MPa] with which a step of strain acts on its stress.
Moduli tangent(const ChainSteps& step);

/// Stresses after a step in which the strain that is not free goes on by `strain` [-] at a constant rate.
ChainStresses after(const ChainSteps& step, const ChainStresses& before, const Vector6d& strain);

/// Energies of a step, by volume [MPa = mJ/mm3].
struct ChainEnergies {
  double elastic = 0;  ///< at its end
  double set_in = 0;   ///< spent in it because the chains stiffened under stress
  double flow = 0;     ///< lost in it to flow: mean stress times the strain that relaxed
};
ChainEnergies energies(const ChainSteps& step, const ChainStresses& before, const ChainStresses& now);

}  // namespace setstress
