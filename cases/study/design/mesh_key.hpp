#pragma once
// What a mesh is known by.

#include <string>

#include "cases/file/case.hpp"

namespace setstress {

/// The same for two cases exactly when they have the same mesh: geometry, layout, element sizes and version
/// of setstress.
std::string mesh_key(const Case& input);

}  // namespace setstress
