#pragma once
// A mesh in a file, for machines without a mesher.

#include <filesystem>
#include <functional>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::bench {

/// What the file holds; where there is none, what make() gives, which is put there. Throws std::runtime_error
/// where it cannot be read or written, or holds no valid mesh.
Mesh kept_mesh(const std::filesystem::path& file, const std::function<Mesh()>& make);

}  // namespace setstress::bench
