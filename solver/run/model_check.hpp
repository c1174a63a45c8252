#pragma once
// Refuses what cannot be solved before it is.

#include "solver/model/model.hpp"

namespace setstress {

/// Throws std::invalid_argument, naming the entry, for a model that is inconsistent (missing laws, unknown
/// surfaces, a body that nothing holds, events out of order).
void require_valid(const Model& model);

/// Throws std::invalid_argument where the supports contradict each other or leave the body free to move.
void require_held(const Model& model);

/// Throws std::invalid_argument for a bond that cannot be run in debonding mode: tied, or with less fracture
/// energy than its film stores when it reaches its strength, at any maturity.
void require_can_debond(const Model& model);

}  // namespace setstress
