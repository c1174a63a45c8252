#pragma once
// Tooth cases and closed formulas that several tests share.

#include <cmath>
#include <numbers>
#include <string>

#include "mesh/build/build_mesh.hpp"
#include "mesh/tetrahedra/measures.hpp"

namespace setstress::test {

inline ToothCase tooth_with(const Preparation& preparation) {
  return {.tooth = {}, .preparation = preparation, .layout = {}};
}

/// Proximal box whose floor lies 1 mm below the CEJ.
inline Preparation deep_proximal_box() {
  return {.kind = Preparation::Kind::proximal_box,
          .depth = 7,
          .length = 1.8,
          .width = 4,
          .taper = 3,
          .line_angle_radius = 0.4};
}

inline double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
}

inline double volume_of_region(const Mesh& mesh, const std::string& name) {
  const std::vector<double> volumes = region_volumes(mesh);
  for (std::size_t i = 0; i < volumes.size(); ++i)
    if (mesh.regions[i].name == name) return volumes[i];
  return 0;
}

inline double volume_of_filling(const Mesh& mesh) {
  const std::vector<double> volumes = region_volumes(mesh);
  double sum = 0;
  for (std::size_t i = 0; i < volumes.size(); ++i)
    if (mesh.regions[i].is_filling()) sum += volumes[i];
  return sum;
}

/// Bonded area [mm2] and area-weighted mean normal of a wall; area 0 where there is no such wall.
inline AreaAndNormal whole_wall(const Mesh& mesh, const std::string& name) {
  AreaAndNormal sum{.area = 0, .normal = Eigen::Vector3d::Zero()};
  for (const BondFacet& facet : mesh.bond) {
    if (mesh.walls[static_cast<std::size_t>(facet.wall)] != name) continue;
    const auto [area, normal] = area_and_normal(mesh, facet.tooth);
    sum.area += area;
    sum.normal += area * normal;
  }
  if (sum.area > 0) sum.normal /= sum.area;
  return sum;
}

}  // namespace setstress::test
