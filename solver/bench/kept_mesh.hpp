#pragma once
// A mesh in a file, for machines without a mesher.

#include <filesystem>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::bench {

/// Both throw std::runtime_error where the file cannot be written or read, or holds no valid mesh.
void keep_mesh(const Mesh& mesh, const std::filesystem::path& file);
Mesh kept_mesh(const std::filesystem::path& file);

}  // namespace setstress::bench
