#pragma once
// Which walls are mirror images of each other: what differs between them is chance of the mesh.

#include <array>
#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// Pairs of walls that tooth or mould, preparation, plan, light, supports, bites and bond mirror about a
/// middle plane: the buccal and the lingual wall (y = 0), the mesial and the distal one of a box in the
/// middle of the tooth (x = 0). Where one part is not known to be symmetric, none.
std::vector<std::array<std::string, 2>> mirror_walls(const Case& input);

}  // namespace setstress
