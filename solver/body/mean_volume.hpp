#pragma once
// Paste that keeps its volume better than its shape, without locking. In a mesh of second-order tetrahedra
// there are 24 displacements to each corner, and about 22 stress points: were each to keep its volume, next
// to nothing could move. So of the bulk stiffness of a point that exceeds what goes with its shear stiffness
// in set composite, Lame's part acts on the mean change of volume of the element (selective integration:
// Malkus and Hughes 1978, Comput Methods Appl Mech Eng 15:63, from memory). Where nothing exceeds it,
// elements are what they are elsewhere, and in between there is no jump.

#include <array>

#include "materials/chains.hpp"

namespace setstress {

/// Stiffness of one tetrahedron in a step [MPa].
struct ElementModuli {
  std::array<double, 4> shear, bulk;  ///< of its stress points
  double bulk_of_mean = 0;            ///< against its mean change of volume
};

/// `whole`: shear and bulk modulus of each stress point, above 0; `poisson_ratio`: of the set composite.
[[nodiscard]] ElementModuli element_moduli(const std::array<Moduli, 4>& whole, double poisson_ratio);

/// Changes of volume [-] under which the whole bulk modulus of each point bears the pressure that
/// element_moduli() give it under `change`.
[[nodiscard]] std::array<double, 4> borne(const std::array<Moduli, 4>& whole, const ElementModuli& moduli,
                                          const std::array<double, 4>& change);

}  // namespace setstress
