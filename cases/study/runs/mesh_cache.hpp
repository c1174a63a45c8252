#pragma once
// Meshes that several runs of a study share, kept as files.

#include <filesystem>
#include <optional>
#include <string>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// A folder of meshes. Any number of programs may use it at the same time: files appear whole, by renaming.
class MeshCache {
 public:
  /// Makes the folder. Throws std::runtime_error where it cannot.
  explicit MeshCache(std::filesystem::path folder);

  /// The mesh of that key (mesh_key.hpp), to the last bit as it was stored; empty where it is not there or
  /// not whole.
  [[nodiscard]] std::optional<Mesh> find(const std::string& key) const;

  /// Where it cannot be written the mesh is not kept, and nothing else happens: the next run meshes again.
  void keep(const std::string& key, const Mesh& mesh) const;

 private:
  std::filesystem::path folder_;
};

}  // namespace setstress
