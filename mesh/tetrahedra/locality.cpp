#include "mesh/tetrahedra/locality.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cstdint>
#include <numeric>

namespace setstress {
namespace {

/// Spreads the low 21 bits so that two zero bits follow each.
std::uint64_t spread(std::uint64_t bits) {
  bits &= 0x1fffff;
  bits = (bits | bits << 32) & 0x1f00000000ffff;
  bits = (bits | bits << 16) & 0x1f0000ff0000ff;
  bits = (bits | bits << 8) & 0x100f00f00f00f00f;
  bits = (bits | bits << 4) & 0x10c30c30c30c30c3;
  return (bits | bits << 2) & 0x1249249249249249;
}

/// Place of each point along the curve: order[k] is the index of the k-th point. Coincident points keep their
/// order.
std::vector<int> order_along_curve(const std::vector<Eigen::Vector3d>& points) {
  Eigen::AlignedBox3d box;
  for (const auto& point : points) box.extend(point);
  const double scale = 2097151.0 / std::max(box.sizes().maxCoeff(), 1e-300);
  std::vector<std::uint64_t> code(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Vector3d cell = scale * (points[i] - box.min());
    code[i] = spread(static_cast<std::uint64_t>(cell.x())) |
              spread(static_cast<std::uint64_t>(cell.y())) << 1 |
              spread(static_cast<std::uint64_t>(cell.z())) << 2;
  }
  std::vector<int> order(points.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return code[static_cast<std::size_t>(a)] < code[static_cast<std::size_t>(b)];
  });
  return order;
}

std::vector<int> inverse(const std::vector<int>& order) {
  std::vector<int> place(order.size());
  for (std::size_t k = 0; k < order.size(); ++k)
    place[static_cast<std::size_t>(order[k])] = static_cast<int>(k);
  return place;
}

template <std::size_t N>
void renumber(std::array<int, N>& nodes, const std::vector<int>& place) {
  for (int& n : nodes) n = place[static_cast<std::size_t>(n)];
}

}  // namespace

Mesh renumber_for_locality(const Mesh& mesh) {
  const std::vector<int> node_order = order_along_curve(mesh.nodes);
  const std::vector<int> node_place = inverse(node_order);
  std::vector<Eigen::Vector3d> centroids;
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    centroids.push_back(position(mesh, tetrahedron, Eigen::Vector4d::Constant(0.25)));
  const std::vector<int> tetrahedron_order = order_along_curve(centroids);
  const std::vector<int> tetrahedron_place = inverse(tetrahedron_order);

  Mesh result = mesh;
  for (std::size_t k = 0; k < node_order.size(); ++k)
    result.nodes[k] = mesh.nodes[static_cast<std::size_t>(node_order[k])];
  for (std::size_t k = 0; k < tetrahedron_order.size(); ++k) {
    result.tetrahedra[k] = mesh.tetrahedra[static_cast<std::size_t>(tetrahedron_order[k])];
    renumber(result.tetrahedra[k].nodes, node_place);
  }
  for (BondFacet& facet : result.bond) {
    renumber(facet.tooth, node_place);
    renumber(facet.filling, node_place);
    facet.tooth_tetrahedron = tetrahedron_place[static_cast<std::size_t>(facet.tooth_tetrahedron)];
    facet.filling_tetrahedron = tetrahedron_place[static_cast<std::size_t>(facet.filling_tetrahedron)];
  }
  for (Surface& surface : result.surfaces)
    for (SixNodes& facet : surface.facets) renumber(facet, node_place);
  return result;
}

}  // namespace setstress
