#include "solver/averaged_bond.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double radius = 0.5 * averaging_length;

/// A placed point of the bond.
struct Source {
  Eigen::Vector3d place;                 ///< [mm]
  double area;                           ///< that it stands for [mm2]
  double normal = 0, normal_demand = 0;  ///< traction [MPa], and over its strength [-]
  Eigen::Vector3d shear{0, 0, 0}, shear_demand{0, 0, 0};
};

/// A wall and a cube of space with sides of one radius: who is near a point lies in the cubes around its own.
using Cube = std::array<int, 4>;

struct PlacedPoint {
  Source source;
  Cube cube;
  const BondPoint* point;
  AveragedPoint* average;
};

Cube cube_of(int wall, const Eigen::Vector3d& place) {
  const Eigen::Vector3i at = (place / radius).array().floor().cast<int>();
  return {wall, at.x(), at.y(), at.z()};
}

Source source_at(const Mesh& mesh, const BondFacet& facet, const FacetPoint& where, const BondPoint& point) {
  const auto [area, normal] = area_and_normal(mesh, facet.tooth);
  Source source{.place = Eigen::Vector3d::Zero(), .area = area * where.weight};
  for (std::size_t corner = 0; corner < 3; ++corner)
    source.place += where.barycentric[corner] * mesh.nodes[static_cast<std::size_t>(facet.tooth[corner])];
  source.normal = point.normal;
  source.shear = point.traction - point.traction.dot(normal) * normal;
  source.normal_demand = source.normal / point.tensile_strength;
  source.shear_demand = source.shear / point.shear_strength;
  return source;
}

std::vector<PlacedPoint> placed_points(const Mesh& mesh, const Frame& frame,
                                       std::vector<std::array<AveragedPoint, 6>>& averages) {
  std::vector<PlacedPoint> placed;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    for (std::size_t i = 0; i < 6; ++i) {
      const BondPoint& point = frame.bond[f][i];
      if (!point.active) continue;
      const Source source = source_at(mesh, mesh.bond[f], facet_points()[i], point);
      placed.push_back({source, cube_of(mesh.bond[f].wall, source.place), &point, &averages[f][i]});
    }
  return placed;
}

using Cubes = std::map<Cube, std::vector<const Source*>>;

/// Area-weighted sum of everything within the radius of `at`.
Source sum_around(const Cubes& cubes, const PlacedPoint& at) {
  Source sum{.place = at.source.place, .area = 0};
  const auto add = [&sum](const Source& source) {
    if ((source.place - sum.place).norm() > radius) return;
    sum.area += source.area;
    sum.normal += source.area * source.normal;
    sum.normal_demand += source.area * source.normal_demand;
    sum.shear += source.area * source.shear;
    sum.shear_demand += source.area * source.shear_demand;
  };
  for (int x = -1; x <= 1; ++x)
    for (int y = -1; y <= 1; ++y)
      for (int z = -1; z <= 1; ++z) {
        const auto [wall, i, j, k] = at.cube;
        const auto found = cubes.find({wall, i + x, j + y, k + z});
        if (found == cubes.end()) continue;
        for (const Source* source : found->second) add(*source);
      }
  return sum;
}

}  // namespace

std::vector<std::array<AveragedPoint, 6>> averaged_bond(const Mesh& mesh, const Frame& frame) {
  if (frame.bond.size() != mesh.bond.size())
    throw std::invalid_argument("averaged bond: mesh and frame have different numbers of bond facets");
  std::vector<std::array<AveragedPoint, 6>> averages(mesh.bond.size());
  const std::vector<PlacedPoint> placed = placed_points(mesh, frame, averages);
  Cubes cubes;
  for (const PlacedPoint& at : placed) cubes[at.cube].push_back(&at.source);
  for (const PlacedPoint& at : placed) {
    const Source sum = sum_around(cubes, at);
    const double demand = std::hypot(std::max(0.0, sum.normal_demand), sum.shear_demand.norm()) / sum.area;
    const bool softens = at.point->strength_lost > 0;
    *at.average = {.normal = sum.normal / sum.area,
                   .shear = sum.shear.norm() / sum.area,
                   .ratio = softens ? at.point->ratio : demand};
  }
  return averages;
}

}  // namespace setstress
