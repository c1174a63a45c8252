#pragma once
// The preparation as a solid. Internal to mesh/.

#include <vector>

#include "mesh/tooth/cavity_form.hpp"

namespace setstress {

/// Adds the cavity to the open session's OpenCASCADE model and returns its volumes; they reach exactly to the
/// occlusal surface, and out of the tooth at open sides.
std::vector<int> add_cavity(const CavityForm& form);

}  // namespace setstress
