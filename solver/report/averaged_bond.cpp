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

/// What a point bears along its wall [MPa].
Eigen::Vector3d shear_of(const BondPoint& point, const Eigen::Vector3d& normal) {
  return point.traction - point.traction.dot(normal) * normal;
}

Eigen::Array4d four(double normal, const Eigen::Vector3d& shear) {
  return {normal, shear.x(), shear.y(), shear.z()};
}

double length_of_shear(const Eigen::Array4d& sum) {
  return Eigen::Vector3d(sum(1), sum(2), sum(3)).norm();
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

/// Sums of area times what `load_of` makes of a point, a normal and three shear components, over who is near:
/// handed to `take` with the area.
template <typename LoadOf, typename Take>
void BondAverage::average(const Frame& frame, const LoadOf& load_of, const Take& take) const {
  if (frame.bond.size() != normals_.size())
    throw std::invalid_argument("averaged bond: mesh and frame have different numbers of bond facets");
  std::vector<Eigen::Array4d> loads(areas_.size(), Eigen::Array4d::Zero());
  std::vector<double> placed(areas_.size(), 0.0);
  parallel_for(normals_.size(), [&](std::size_t f) {
    for (std::size_t i = 0; i < 6; ++i) {
      if (!frame.bond[f][i].active) continue;
      loads[6 * f + i] = load_of(frame.bond[f][i], normals_[f]);
      placed[6 * f + i] = areas_[6 * f + i];
    }
  });
  parallel_for(normals_.size(), [&](std::size_t f) {
    for (std::size_t i = 0; i < 6; ++i) {
      if (!frame.bond[f][i].active) continue;
      const std::size_t p = 6 * f + i;
      Eigen::Array4d sum = Eigen::Array4d::Zero();
      double area = 0;
      for (std::size_t n = first_[p]; n < first_[p + 1]; ++n) {
        const auto near = static_cast<std::size_t>(neighbours_[n]);
        area += placed[near];
        sum += placed[near] * loads[near];
      }
      take(p, frame.bond[f][i], sum, area);
    }
  });
}

AveragedTractions BondAverage::tractions(const Frame& frame) const {
  AveragedTractions averages{std::vector<double>(areas_.size(), 0.0),
                             std::vector<double>(areas_.size(), 0.0)};
  average(
      frame,
      [](const BondPoint& point, const Eigen::Vector3d& normal) {
        return four(point.normal, shear_of(point, normal));
      },
      [&](std::size_t p, const BondPoint&, const Eigen::Array4d& sum, double area) {
        averages.normal[p] = sum(0) / area;
        averages.shear[p] = length_of_shear(sum) / area;
      });
  return averages;
}

std::vector<double> BondAverage::ratios(const Frame& frame) const {
  std::vector<double> averages(areas_.size(), 0.0);
  average(
      frame,
      [](const BondPoint& point, const Eigen::Vector3d& normal) {
        return four(point.normal / point.tensile_strength, shear_of(point, normal) / point.shear_strength);
      },
      [&](std::size_t p, const BondPoint& point, const Eigen::Array4d& sum, double area) {
        averages[p] = point.strength_lost > 0
                          ? point.ratio
                          : std::hypot(std::max(0.0, sum(0)), length_of_shear(sum)) / area;
      });
  return averages;
}

std::vector<std::array<AveragedPoint, 6>> averaged_bond(const Mesh& mesh, const Frame& frame) {
  const BondAverage average(mesh);
  const AveragedTractions tractions = average.tractions(frame);
  const std::vector<double> ratios = average.ratios(frame);
  std::vector<std::array<AveragedPoint, 6>> averages(mesh.bond.size());
  for (std::size_t p = 0; p < ratios.size(); ++p)
    averages[p / 6][p % 6] = {.normal = tractions.normal[p], .shear = tractions.shear[p], .ratio = ratios[p]};
  return averages;
}

}  // namespace setstress
