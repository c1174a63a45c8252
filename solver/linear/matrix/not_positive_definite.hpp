#pragma once
// What every factor throws that meets a matrix it cannot factorise.

#include <stdexcept>

namespace setstress {

/// The matrix has a direction without positive stiffness: a body that nothing holds, or softening that
/// outruns it.
struct NotPositiveDefinite : std::runtime_error {
  /// The place is where elimination met it; somewhere in the same body, not necessarily at the cause.
  NotPositiveDefinite(int node_, int component_);
  int node, component;  ///< component 0, 1, 2 for x, y, z
};

}  // namespace setstress
