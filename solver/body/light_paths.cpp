#include "solver/body/light_paths.hpp"

#include "solver/element/tetrahedron.hpp"
#include "solver/machine/parallel.hpp"

namespace setstress {

std::vector<int> filling_tetrahedra(const Mesh& mesh) {
  std::vector<int> filling;
  for (std::size_t i = 0; i < mesh.tetrahedra.size(); ++i)
    if (mesh.regions[static_cast<std::size_t>(mesh.tetrahedra[i].region)].is_filling())
      filling.push_back(static_cast<int>(i));
  return filling;
}

LightPaths::LightPaths(const Mesh& mesh) : mesh_(mesh), filling_(filling_tetrahedra(mesh)), rays_(mesh) {}

const LightPaths::Lengths& LightPaths::towards_lamp(const Eigen::Vector3d& direction) const {
  const std::lock_guard lock(mutex_);
  for (const Walked& known : walked_)
    if (known.direction == direction) return known.lengths;
  Lengths lengths(filling_.size());
  parallel_for(filling_.size(), [&](std::size_t i) {
    const Tetrahedron& tetrahedron = mesh_.tetrahedra[static_cast<std::size_t>(filling_[i])];
    for (int p = 0; p < 4; ++p)
      lengths[i][static_cast<std::size_t>(p)] =
          rays_.path_lengths(filling_[i], position(mesh_, tetrahedron, stress_point(p)), -direction);
  });
  return walked_.emplace_back(direction, std::move(lengths)).lengths;
}

}  // namespace setstress
