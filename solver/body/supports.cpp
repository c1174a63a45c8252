#include "solver/body/supports.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "solver/element/bond_element.hpp"

namespace setstress {

const Surface& surface_named(const Mesh& mesh, const std::string& name) {
  const auto found = std::find_if(mesh.surfaces.begin(), mesh.surfaces.end(),
                                  [&](const Surface& s) { return s.name == name; });
  if (found != mesh.surfaces.end()) return *found;
  std::vector<std::string> names;
  for (const Surface& s : mesh.surfaces) names.push_back("'" + s.name + "'");
  throw std::invalid_argument(
      fmt::format("surface '{}' does not exist; this geometry has {}", name, fmt::join(names, ", ")));
}

double ramp_share(double time, double ramp) {
  return ramp > 0.0 ? std::clamp(time / ramp, 0.0, 1.0) : 1.0;
}

namespace {

std::set<int> nodes_of(const Mesh& mesh, const std::string& surface) {
  std::set<int> nodes;
  for (const SixNodes& facet : surface_named(mesh, surface).facets) nodes.insert(facet.begin(), facet.end());
  return nodes;
}

/// All of the surface, or the line along which it meets another.
std::set<int> held_nodes(const Mesh& mesh, const FixedSurface& fixed) {
  std::set<int> nodes = nodes_of(mesh, fixed.surface);
  if (fixed.meeting.empty()) return nodes;
  const std::set<int> other = nodes_of(mesh, fixed.meeting);
  std::erase_if(nodes, [&](int node) { return !other.contains(node); });
  if (nodes.empty())
    throw std::invalid_argument(fmt::format(
        "surface '{}' is held where it meets '{}', but the two do not meet", fixed.surface, fixed.meeting));
  return nodes;
}

}  // namespace

std::vector<HeldComponent> held_components(const Model& model) {
  std::map<std::pair<int, int>, HeldComponent> held;
  int hold = -1;
  for (const FixedSurface& fixed : model.fixed) {
    ++hold;
    for (const int node : held_nodes(model.mesh, fixed))
      for (int c = 0; c < 3; ++c) {
        if (!fixed.held[static_cast<std::size_t>(c)]) continue;
        const HeldComponent entry{node, c, fixed.value(c), fixed.ramp, hold};
        const auto [at, is_new] = held.try_emplace({node, c}, entry);
        if (!is_new && (at->second.value != entry.value || at->second.ramp != entry.ramp))
          throw std::invalid_argument(fmt::format(
              "surface '{}' holds {} of a node at {} mm that another surface holds at {} mm; where "
              "held surfaces meet they must agree",
              fixed.surface, "xyz"[c], entry.value, at->second.value));
      }
  }
  std::vector<HeldComponent> sorted;
  for (const auto& [key, entry] : held) sorted.push_back(entry);
  return sorted;
}

Matrix18d foundation_stiffness(const Mesh& mesh, const SixNodes& facet, const ElasticFoundation& foundation) {
  const FacetGeometry geometry = geometry_of(mesh, facet);
  const Eigen::Vector3d springs(foundation.normal, foundation.tangential, foundation.tangential);
  const Eigen::Matrix3d global = geometry.to_local.transpose() * springs.asDiagonal() * geometry.to_local;
  Matrix18d k = Matrix18d::Zero();
  for (const FacetPoint& point : facet_points()) {
    const auto shapes = triangle_shapes(point.barycentric);
    for (int a = 0; a < 6; ++a)
      for (int b = 0; b < 6; ++b)
        k.block<3, 3>(3 * a, 3 * b) += shapes(a) * shapes(b) * point.weight * geometry.area * global;
  }
  return k;
}

Eigen::VectorXd pressure_forces(const Model& model, double time) {
  Eigen::VectorXd forces = Eigen::VectorXd::Zero(model.mesh.unknowns());
  for (const Pressure& load : model.pressures)
    for (const SixNodes& facet : surface_named(model.mesh, load.surface).facets) {
      const AreaAndNormal flat = area_and_normal(model.mesh, facet);
      const Eigen::Vector3d push = -load.pressure * ramp_share(time, load.ramp) * flat.area * flat.normal;
      // A uniform pressure loads the edge nodes of a straight six-node triangle with a third each, corners
      // not.
      for (std::size_t i = 3; i < 6; ++i) forces.segment<3>(3 * facet[i]) += push / 3.0;
    }
  return forces;
}

}  // namespace setstress
