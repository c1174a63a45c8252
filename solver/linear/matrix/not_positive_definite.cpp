#include "solver/linear/matrix/not_positive_definite.hpp"

#include <fmt/format.h>

namespace setstress {

NotPositiveDefinite::NotPositiveDefinite(int node_, int component_)
    : std::runtime_error(fmt::format(
          "stiffness matrix is not positive definite: found at node {}, {} direction; must be so everywhere. "
          "A body that nothing holds, or a bond that softens faster than its surroundings can follow: add a "
          "support or take a smaller step.",
          node_, "xyz"[component_])),
      node(node_),
      component(component_) {}

}  // namespace setstress
