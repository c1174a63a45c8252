#include "tests/properties/moved_model.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <stdexcept>

namespace setstress::testing {

namespace {

bool is_mirror(const Eigen::Matrix3d& map) {
  return map.determinant() < 0;
}

void swap_corners(std::array<int, 10>& n) {
  n = {n[1], n[0], n[2], n[3], n[4], n[6], n[5], n[8], n[7], n[9]};
}
void swap_corners(SixNodes& n) {
  n = {n[1], n[0], n[2], n[3], n[5], n[4]};
}

/// Points of a tetrahedron go with its corners; those of a facet too, three inner ones and three outer ones.
template <std::size_t points>
std::size_t partner(std::size_t point, bool mirror) {
  if (!mirror) return point;
  constexpr std::array<std::size_t, 6> swapped{1, 0, 2, points == 4 ? 3 : 4, points == 4 ? 4 : 3, 5};
  return swapped.at(point);
}

FixedSurface moved(FixedSurface fixed, const Eigen::Matrix3d& map) {
  if (fixed.held == std::array{true, true, true}) {
    fixed.value = map * fixed.value;
    return fixed;
  }
  throw std::invalid_argument("only holds in all directions are moved");
}

}  // namespace

Model moved(const Model& model, const Eigen::Matrix3d& map) {
  Model result = model;
  for (Eigen::Vector3d& node : result.mesh.nodes) node = map * node;
  if (is_mirror(map)) {
    for (Tetrahedron& tetrahedron : result.mesh.tetrahedra) swap_corners(tetrahedron.nodes);
    for (BondFacet& facet : result.mesh.bond) {
      if (facet.tooth != facet.filling) swap_corners(facet.filling);
      swap_corners(facet.tooth);
    }
    for (Surface& surface : result.mesh.surfaces)
      for (SixNodes& facet : surface.facets) swap_corners(facet);
  }
  for (FixedSurface& fixed : result.fixed) fixed = moved(fixed, map);
  for (FreeStrain& strain : result.free_strains) strain.gradient = map * strain.gradient;
  for (Exposure& exposure : result.timeline.exposures) exposure.direction = map * exposure.direction;
  return result;
}

MovedDifference difference(const Frame& frame, const Eigen::Matrix3d& map, const Frame& of_moved) {
  const bool mirror = is_mirror(map);
  MovedDifference d;
  for (Eigen::Index node = 0; node < frame.displacement.size() / 3; ++node)
    d.displacement = std::max(
        d.displacement,
        (map * frame.displacement.segment<3>(3 * node) - of_moved.displacement.segment<3>(3 * node)).norm());
  for (std::size_t f = 0; f < frame.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) {
      const BondPoint &one = frame.bond[f][p], &other = of_moved.bond.at(f)[partner<6>(p, mirror)];
      d.traction = std::max(d.traction, (map * one.traction - other.traction).norm());
      d.strength_lost = std::max(d.strength_lost, std::abs(one.strength_lost - other.strength_lost));
    }
  for (std::size_t t = 0; t < frame.conversion.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p)
      d.conversion = std::max(
          d.conversion, std::abs(frame.conversion[t][p] - of_moved.conversion.at(t)[partner<4>(p, mirror)]));
  return d;
}

}  // namespace setstress::testing
