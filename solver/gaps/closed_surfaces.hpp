#pragma once
// Where the bond ends without a margin.

#include <set>
#include <string>

#include "solver/model/model.hpp"

namespace setstress {

/// Surfaces that are held as a whole: they end the model, not the bond, as planes of symmetry do.
std::set<std::string> closed_surfaces(const Model& model);

}  // namespace setstress
