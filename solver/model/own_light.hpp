#pragma once
// Which light is meant for which increment.

#include <vector>

#include "solver/model/model.hpp"

namespace setstress {

/// Exposures that begin after `increment` (from 0) has been placed and before the next one is.
std::vector<Exposure> own_exposures(const Timeline& timeline, int increment);

/// Directions in which light travels that is to cure the increment: those of its own exposures; without any,
/// those of all later ones; without these, from occlusal. Each once.
std::vector<Eigen::Vector3d> light_directions(const Timeline& timeline, int increment);

}  // namespace setstress
