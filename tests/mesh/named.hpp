#pragma once
// Looks measures up by the names that case files use.

#include <algorithm>
#include <stdexcept>
#include <string>
#include <vector>

#include "mesh/tetrahedra/measures.hpp"

namespace setstress::named {

inline double value_at(const std::vector<std::string>& names, const std::vector<double>& values,
                       const std::string& name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) throw std::out_of_range("nothing is named " + name);
  return values[static_cast<size_t>(found - names.begin())];
}

inline std::vector<std::string> regions(const Mesh& mesh) {
  std::vector<std::string> names;
  for (const Region& region : mesh.regions) names.push_back(region.name);
  return names;
}

inline std::vector<std::string> surfaces(const Mesh& mesh) {
  std::vector<std::string> names;
  for (const Surface& surface : mesh.surfaces) names.push_back(surface.name);
  return names;
}

/// Volume of a region [mm3], areas of a wall and of a surface [mm2].
inline double volume(const Mesh& mesh, const std::string& region) {
  return value_at(regions(mesh), region_volumes(mesh), region);
}
inline double wall(const Mesh& mesh, const std::string& name) {
  return value_at(mesh.walls, wall_areas(mesh), name);
}
inline double surface(const Mesh& mesh, const std::string& name) {
  return value_at(surfaces(mesh), surface_areas(mesh), name);
}

inline std::vector<std::string> sorted(std::vector<std::string> names) {
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace setstress::named
