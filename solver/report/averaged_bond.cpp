#include "solver/report/averaged_bond.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "solver/machine/parallel.hpp"

namespace setstress {

namespace {

constexpr double radius = 0.5 * averaging_length;

/// A wall and a cube of space with sides of one radius: who is near a point lies in the cubes around its own.
using Cube = std::array<int, 4>;

Cube cube_of(int wall, const Eigen::Vector3d& place) {
  const Eigen::Vector3i at = (place / radius).array().floor().cast<int>();
  return {wall, at.x(), at.y(), at.z()};
}

/// [mm], six a facet.
std::vector<Eigen::Vector3d> places_of(const Mesh& mesh) {
  std::vector<Eigen::Vector3d> places;
  places.reserve(6 * mesh.bond.size());
  for (const BondFacet& facet : mesh.bond)
    for (const FacetPoint& where : facet_points()) {
      Eigen::Vector3d& place = places.emplace_back(Eigen::Vector3d::Zero());
      for (std::size_t corner = 0; corner < 3; ++corner)
        place += where.barycentric[corner] * mesh.nodes[static_cast<std::size_t>(facet.tooth[corner])];
    }
  return places;
}

using Cubes = std::map<Cube, std::vector<int>>;

void add_neighbours(const Cubes& cubes, const Cube& own, const std::vector<Eigen::Vector3d>& places,
                    const Eigen::Vector3d& at, std::vector<int>& neighbours) {
  const auto [wall, i, j, k] = own;
  for (int x = -1; x <= 1; ++x)
    for (int y = -1; y <= 1; ++y)
      for (int z = -1; z <= 1; ++z) {
        const auto found = cubes.find({wall, i + x, j + y, k + z});
        if (found == cubes.end()) continue;
        for (const int point : found->second)
          if ((places[static_cast<std::size_t>(point)] - at).norm() <= radius) neighbours.push_back(point);
      }
}

/// What the bond bears at a point, or over an area.
struct Load {
  double area = 0;                       ///< [mm2]; 0 at a point that is not placed
  double normal = 0, normal_demand = 0;  ///< traction [MPa], and over its strength [-]
  Eigen::Vector3d shear{0, 0, 0}, shear_demand{0, 0, 0};
};

Load load_at(const BondPoint& point, const Eigen::Vector3d& normal, double area) {
  if (!point.active) return {};
  const Eigen::Vector3d shear = point.traction - point.traction.dot(normal) * normal;
  return {.area = area,
          .normal = point.normal,
          .normal_demand = point.normal / point.tensile_strength,
          .shear = shear,
          .shear_demand = shear / point.shear_strength};
}

void add(const Load& load, Load& sum) {
  sum.area += load.area;
  sum.normal += load.area * load.normal;
  sum.normal_demand += load.area * load.normal_demand;
  sum.shear += load.area * load.shear;
  sum.shear_demand += load.area * load.shear_demand;
}

AveragedPoint average_of(const Load& sum, const BondPoint& point) {
  const double demand = std::hypot(std::max(0.0, sum.normal_demand), sum.shear_demand.norm()) / sum.area;
  return {.normal = sum.normal / sum.area,
          .shear = sum.shear.norm() / sum.area,
          .ratio = point.strength_lost > 0 ? point.ratio : demand};
}

}  // namespace

BondAverage::BondAverage(const Mesh& mesh) : first_{0} {
  for (const BondFacet& facet : mesh.bond) {
    const auto [area, normal] = area_and_normal(mesh, facet.tooth);
    normals_.push_back(normal);
    for (const FacetPoint& where : facet_points()) areas_.push_back(area * where.weight);
  }
  const std::vector<Eigen::Vector3d> places = places_of(mesh);
  const auto cube = [&](std::size_t point) { return cube_of(mesh.bond[point / 6].wall, places[point]); };
  Cubes cubes;
  for (std::size_t p = 0; p < places.size(); ++p) cubes[cube(p)].push_back(static_cast<int>(p));
  for (std::size_t p = 0; p < places.size(); ++p) {
    add_neighbours(cubes, cube(p), places, places[p], neighbours_);
    first_.push_back(neighbours_.size());
  }
}

std::vector<std::array<AveragedPoint, 6>> BondAverage::of(const Frame& frame) const {
  if (frame.bond.size() != normals_.size())
    throw std::invalid_argument("averaged bond: mesh and frame have different numbers of bond facets");
  std::vector<Load> loads(areas_.size());
  parallel_for(normals_.size(), [&](std::size_t f) {
    for (std::size_t i = 0; i < 6; ++i)
      loads[6 * f + i] = load_at(frame.bond[f][i], normals_[f], areas_[6 * f + i]);
  });
  std::vector<std::array<AveragedPoint, 6>> averages(normals_.size());
  parallel_for(normals_.size(), [&](std::size_t f) {
    for (std::size_t i = 0; i < 6; ++i) {
      if (!frame.bond[f][i].active) continue;
      const std::size_t p = 6 * f + i;
      Load sum;
      for (std::size_t n = first_[p]; n < first_[p + 1]; ++n)
        add(loads[static_cast<std::size_t>(neighbours_[n])], sum);
      averages[f][i] = average_of(sum, frame.bond[f][i]);
    }
  });
  return averages;
}

std::vector<std::array<AveragedPoint, 6>> averaged_bond(const Mesh& mesh, const Frame& frame) {
  return BondAverage(mesh).of(frame);
}

}  // namespace setstress
