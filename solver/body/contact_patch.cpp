#include "solver/body/contact_patch.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <Eigen/LU>
#include <algorithm>
#include <limits>
#include <numbers>
#include <optional>

#include "solver/element/bond_element.hpp"

namespace setstress {
namespace {

constexpr int cuts = 16;  // of a facet's edges, where the patch's rim may cross it

const Surface& bitten(const Mesh& mesh, const std::string& name) {
  const auto found = std::find_if(mesh.surfaces.begin(), mesh.surfaces.end(),
                                  [&](const Surface& s) { return s.name == name; });
  if (found != mesh.surfaces.end()) return *found;
  std::vector<std::string> names;
  for (const Surface& s : mesh.surfaces) names.push_back(s.name);
  throw BiteFault("surface", fmt::format("is \"{}\"; this shape has: {}", name, fmt::join(names, ", ")));
}

Eigen::Vector3d point_of(const Mesh& mesh, const SixNodes& facet, const Eigen::Vector3d& barycentric) {
  Eigen::Vector3d point = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < 3; ++i)
    point += barycentric(static_cast<Eigen::Index>(i)) * mesh.nodes[static_cast<std::size_t>(facet[i])];
  return point;
}

/// Where the vertical line through `at` meets a facet.
std::optional<Eigen::Vector3d> seen_from_occlusal(const Mesh& mesh, const SixNodes& facet,
                                                  const Eigen::Vector2d& at) {
  if (area_and_normal(mesh, facet).normal.z() < 1e-3) return std::nullopt;
  Eigen::Matrix3d corners;  // rows: 1, x, y
  for (int i = 0; i < 3; ++i)
    corners.col(i) << 1.0, mesh.nodes[static_cast<std::size_t>(facet[static_cast<std::size_t>(i)])].head<2>();
  const Eigen::Vector3d barycentric = corners.inverse() * Eigen::Vector3d(1.0, at.x(), at.y());
  if (barycentric.minCoeff() < -1e-9) return std::nullopt;
  return point_of(mesh, facet, barycentric);
}

Eigen::Vector3d centre_on(const Mesh& mesh, const Surface& surface, const Eigen::Vector2d& at) {
  std::optional<Eigen::Vector3d> highest;
  for (const SixNodes& facet : surface.facets)
    if (const auto point = seen_from_occlusal(mesh, facet, at);
        point && (!highest || point->z() > highest->z()))
      highest = point;
  if (highest) return *highest;
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e300), high = -low;
  for (const SixNodes& facet : surface.facets)
    for (const int node : facet) {
      low = low.cwiseMin(mesh.nodes[static_cast<std::size_t>(node)].head<2>());
      high = high.cwiseMax(mesh.nodes[static_cast<std::size_t>(node)].head<2>());
    }
  throw BiteFault("centre",
                  fmt::format("is [{:g}, {:g}] [mm]; surface \"{}\", seen from occlusal, has no point "
                              "there: it lies within x {:.3g} to {:.3g}, y {:.3g} to {:.3g}",
                              at.x(), at.y(), surface.name, low.x(), high.x(), low.y(), high.y()));
}

/// Calls `see(barycentric)` for the middle of each of the equal triangles that a facet is cut into.
template <class See>
void for_each_part(const See& see) {
  for (int i = 0; i < cuts; ++i)
    for (int j = 0; i + j < cuts; ++j)
      for (const int upside_down : {0, 1}) {
        if (upside_down && i + j + 1 >= cuts) continue;
        const double third = (1.0 + upside_down) / 3.0;
        const double a = (i + third) / cuts, b = (j + third) / cuts;
        see(Eigen::Vector3d(1 - a - b, a, b));
      }
}

/// Centre by area of the part of a surface that faces occlusal [mm].
Eigen::Vector2d middle_of(const Mesh& mesh, const Surface& surface) {
  Eigen::Vector2d sum = Eigen::Vector2d::Zero();
  double area = 0;
  for (const SixNodes& facet : surface.facets) {
    const AreaAndNormal flat = area_and_normal(mesh, facet);
    if (flat.normal.z() < 0.5) continue;
    sum += flat.area * point_of(mesh, facet, Eigen::Vector3d::Constant(1.0 / 3.0)).head<2>();
    area += flat.area;
  }
  if (!(area > 0))
    throw BiteFault(
        "surface",
        fmt::format("is \"{}\"; must have a part that faces occlusal for a bite to meet", surface.name));
  return sum / area;
}

}  // namespace

ContactPatch contact_patch(const Mesh& mesh, const Bite& bite) {
  const Surface& surface = bitten(mesh, bite.surface);
  const Eigen::Vector2d at = bite.centre ? *bite.centre : middle_of(mesh, surface);
  ContactPatch patch{centre_on(mesh, surface, at), 0, Eigen::VectorXd::Zero(mesh.unknowns())};
  double finest = std::numeric_limits<double>::infinity();  // parts that the surface is looked at in [mm2]
  for (const SixNodes& facet : surface.facets) {
    const AreaAndNormal flat = area_and_normal(mesh, facet);
    const double part = flat.area / (cuts * cuts), before = patch.area;
    finest = std::min(finest, part);
    for_each_part([&](const Eigen::Vector3d& part_at) {
      if ((point_of(mesh, facet, part_at) - patch.centre).norm() > bite.radius) return;
      const auto shapes = triangle_shapes({part_at(0), part_at(1), part_at(2)});
      for (int i = 0; i < 6; ++i)
        patch.forces.segment<3>(3 * facet[static_cast<std::size_t>(i)]) += part * shapes(i) * bite.direction;
      patch.area += part;
    });
    if (patch.area > before && !(bite.direction.dot(flat.normal) < 0))
      throw BiteFault("direction",
                      fmt::format("is [{:.3g}, {:.3g}, {:.3g}]; must push into \"{}\" all over the "
                                  "patch, and does not where its normal is [{:.2f}, {:.2f}, {:.2f}]",
                                  bite.direction.x(), bite.direction.y(), bite.direction.z(), bite.surface,
                                  flat.normal.x(), flat.normal.y(), flat.normal.z()));
  }
  const double wanted = std::numbers::pi * bite.radius * bite.radius;
  if (wanted < 4 * finest)
    throw BiteFault("radius",
                    fmt::format("is {:.4g} [mm], a patch of {:.3g} mm2, which the facets of \"{}\" do not "
                                "resolve; must be larger, or the mesh finer",
                                bite.radius, wanted, bite.surface));
  if (patch.area < least_on_surface * wanted)
    throw BiteFault("radius",
                    fmt::format("is {:.4g} [mm], a patch of {:.3g} mm2; only {:.3g} mm2 of it lie on "
                                "\"{}\": must be smaller, or its centre farther from the edge",
                                bite.radius, wanted, patch.area, bite.surface));
  patch.forces *= bite.force / patch.area;
  return patch;
}

}  // namespace setstress
