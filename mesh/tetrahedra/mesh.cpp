#include "mesh/tetrahedra/mesh.hpp"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>

#include <stdexcept>

namespace setstress {
namespace {

/// Local corners of the edges whose middles are nodes 4 to 9 of a tetrahedron and 3 to 5 of a triangle.
constexpr int tetrahedron_edges[6][2] = {{0, 1}, {1, 2}, {2, 0}, {0, 3}, {1, 3}, {2, 3}};
constexpr int triangle_edges[3][2] = {{0, 1}, {1, 2}, {2, 0}};

/// Middle nodes may be off by round-off only; lengths are mm, so this is far below any edge.
constexpr double coincidence_tolerance = 1e-9;

Eigen::Vector3d node(const Mesh& mesh, int index) {
  return mesh.nodes[static_cast<std::size_t>(index)];
}

void require_index(const Mesh& mesh, int index, const char* what, std::size_t element) {
  if (index < 0 || index >= static_cast<int>(mesh.nodes.size()))
    throw std::runtime_error(fmt::format("{} {} names node {}, but the mesh has nodes 0 to {}", what, element,
                                         index, static_cast<int>(mesh.nodes.size()) - 1));
}

void require_middles(const Mesh& mesh, const int* nodes, const int (*edges)[2], int edge_count,
                     const char* what, std::size_t element) {
  for (int edge = 0; edge < edge_count; ++edge) {
    const Eigen::Vector3d a = node(mesh, nodes[edges[edge][0]]);
    const Eigen::Vector3d b = node(mesh, nodes[edges[edge][1]]);
    const Eigen::Vector3d middle = node(mesh, nodes[(edge_count == 6 ? 4 : 3) + edge]);
    const double off = (middle - 0.5 * (a + b)).norm();
    if (off > coincidence_tolerance)
      throw std::runtime_error(
          fmt::format("{} {}: node of edge {} lies {:.3g} mm from the middle of its edge; elements must be "
                      "straight-sided (at most {:.0e} mm)",
                      what, element, edge, off, coincidence_tolerance));
  }
}

void require_valid_tetrahedron(const Mesh& mesh, std::size_t index, std::vector<bool>& used) {
  const Tetrahedron& tetrahedron = mesh.tetrahedra[index];
  for (const int n : tetrahedron.nodes) {
    require_index(mesh, n, "tetrahedron", index);
    used[static_cast<std::size_t>(n)] = true;
  }
  if (tetrahedron.region < 0 || tetrahedron.region >= static_cast<int>(mesh.regions.size()))
    throw std::runtime_error(fmt::format("tetrahedron {} names region {}, but the mesh has {} regions", index,
                                         tetrahedron.region, mesh.regions.size()));
  double longest = 0;
  for (const auto& edge : tetrahedron_edges)
    longest = std::max(longest, (node(mesh, tetrahedron.nodes[static_cast<std::size_t>(edge[0])]) -
                                 node(mesh, tetrahedron.nodes[static_cast<std::size_t>(edge[1])]))
                                    .norm());
  const double size = volume(mesh, tetrahedron);
  if (!(size > 1e-9 * longest * longest * longest)) {
    const Eigen::Vector3d at = position(mesh, tetrahedron, Eigen::Vector4d::Constant(0.25));
    throw std::runtime_error(
        fmt::format("tetrahedron {} of region '{}' at ({:.3f}, {:.3f}, {:.3f}) mm is inverted or flat: its "
                    "volume is {:.3g} mm3",
                    index, mesh.regions[static_cast<std::size_t>(tetrahedron.region)].name, at.x(), at.y(),
                    at.z(), size));
  }
  require_middles(mesh, tetrahedron.nodes.data(), tetrahedron_edges, 6, "tetrahedron", index);
}

void require_valid_bond_facet(const Mesh& mesh, std::size_t index) {
  const BondFacet& facet = mesh.bond[index];
  for (std::size_t i = 0; i < 6; ++i) {
    require_index(mesh, facet.tooth[i], "bond facet", index);
    require_index(mesh, facet.filling[i], "bond facet", index);
    const double apart = (node(mesh, facet.tooth[i]) - node(mesh, facet.filling[i])).norm();
    if (apart > coincidence_tolerance)
      throw std::runtime_error(
          fmt::format("bond facet {}: node {} of its two sides lie {:.3g} mm apart; they must "
                      "coincide (at most {:.0e} mm)",
                      index, i, apart, coincidence_tolerance));
  }
  require_middles(mesh, facet.tooth.data(), triangle_edges, 3, "bond facet", index);
}

}  // namespace

Eigen::Vector3d position(const Mesh& mesh, const Tetrahedron& tetrahedron,
                         const Eigen::Vector4d& barycentric) {
  Eigen::Vector3d point = Eigen::Vector3d::Zero();
  for (int corner = 0; corner < 4; ++corner)
    point += barycentric(corner) * node(mesh, tetrahedron.nodes[static_cast<std::size_t>(corner)]);
  return point;
}

double volume(const Mesh& mesh, const Tetrahedron& tetrahedron) {
  const Eigen::Vector3d a = node(mesh, tetrahedron.nodes[0]);
  const Eigen::Vector3d b = node(mesh, tetrahedron.nodes[1]) - a;
  const Eigen::Vector3d c = node(mesh, tetrahedron.nodes[2]) - a;
  const Eigen::Vector3d d = node(mesh, tetrahedron.nodes[3]) - a;
  return b.cross(c).dot(d) / 6;
}

AreaAndNormal area_and_normal(const Mesh& mesh, const SixNodes& facet) {
  const Eigen::Vector3d a = node(mesh, facet[0]);
  const Eigen::Vector3d twice = (node(mesh, facet[1]) - a).cross(node(mesh, facet[2]) - a);
  return {.area = 0.5 * twice.norm(), .normal = twice.normalized()};
}

void require_valid(const Mesh& mesh) {
  std::vector<bool> used(mesh.nodes.size(), false);
  for (std::size_t index = 0; index < mesh.tetrahedra.size(); ++index)
    require_valid_tetrahedron(mesh, index, used);
  for (std::size_t index = 0; index < used.size(); ++index)
    if (!used[index]) throw std::runtime_error(fmt::format("node {} belongs to no tetrahedron", index));
  for (std::size_t index = 0; index < mesh.bond.size(); ++index) require_valid_bond_facet(mesh, index);
}

}  // namespace setstress
