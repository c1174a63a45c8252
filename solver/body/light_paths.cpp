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

const LightPaths::Lengths& LightPaths::walked(std::list<Walked>& known, const Eigen::Vector3d& direction,
                                              std::vector<double> RayPath::*part) const {
  const std::lock_guard lock(mutex_);
  for (const Walked& before : known)
    if (before.direction == direction) return before.lengths;
  Lengths lengths(filling_.size());
  parallel_for(filling_.size(), [&](std::size_t i) {
    const Tetrahedron& tetrahedron = mesh_.tetrahedra[static_cast<std::size_t>(filling_[i])];
    for (int p = 0; p < 4; ++p)
      lengths[i][static_cast<std::size_t>(p)] =
          rays_.path(filling_[i], position(mesh_, tetrahedron, stress_point(p)), -direction).*part;
  });
  return known.emplace_back(Walked{direction, std::move(lengths)}).lengths;
}

const LightPaths::Lengths& LightPaths::towards_lamp(const Eigen::Vector3d& direction) const {
  return walked(lengths_, direction, &RayPath::lengths);
}

const LightPaths::Lengths& LightPaths::ends_towards_lamp(const Eigen::Vector3d& direction) const {
  return walked(ends_, direction, &RayPath::ends);
}

}  // namespace setstress
