#pragma once
// Birth of an increment: it is laid, free of stress, onto the deformed shape.

#include <Eigen/Core>
#include <vector>

#include "solver/model/model.hpp"

namespace setstress {

/// Gives the nodes that `increment` brings with it the displacement [mm] at which it is laid down: that of
/// the tooth on the walls (no gap at placement), that of the older filling where it touches it, and in
/// between and on the free surface the smooth continuation (the displacement an unstressed elastic paste of
/// any stiffness would take). Only new nodes change; as stress counts strain from placement on, no stress
/// does. `active` marks, by node, what was there before and is updated.
void place_on_deformed_shape(const Model& model, int increment, std::vector<char>& active,
                             Eigen::VectorXd& displacement);

}  // namespace setstress
