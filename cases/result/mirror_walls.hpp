#pragma once
// Which walls are mirror images of each other: what differs between them is chance of the mesh.

#include <array>
#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// Pairs of walls that tooth or mould, preparation, plan, light and supports mirror about the bucco-lingual
/// middle plane, y = 0: the buccal and the lingual wall, or none. Where one part is not known to be
/// symmetric, none.
std::vector<std::array<std::string, 2>> mirror_walls(const Case& input);

}  // namespace setstress
