#include "tests/peer/peer_mesh.hpp"

#include <algorithm>
#include <stdexcept>

namespace setstress::testing {

namespace {

using Corners = std::array<int, 3>;

Corners corners_of(const SixNodes& facet) {
  Corners corners{facet[0], facet[1], facet[2]};
  std::sort(corners.begin(), corners.end());
  return corners;
}

/// Face i of a tetrahedron of GetFEM lies opposite to its corner i.
Corners face_of(const Tetrahedron& tetrahedron, std::size_t opposite) {
  Corners corners{};
  std::size_t next = 0;
  for (std::size_t i = 0; i < 4; ++i)
    if (i != opposite) corners.at(next++) = tetrahedron.nodes.at(i);
  std::sort(corners.begin(), corners.end());
  return corners;
}

std::map<Corners, int> tetrahedra_by_face(const Mesh& mesh) {
  std::map<Corners, int> found;
  for (std::size_t t = 0; t < mesh.tetrahedra.size(); ++t)
    for (std::size_t face = 0; face < 4; ++face)
      found[face_of(mesh.tetrahedra[t], face)] = static_cast<int>(t);
  return found;
}

bool is_filling(const Mesh& mesh, const Tetrahedron& tetrahedron) {
  return mesh.regions.at(static_cast<std::size_t>(tetrahedron.region)).is_filling();
}

}  // namespace

PeerMesh::PeerMesh(const Mesh& ours) {
  const auto structure = bgeot::simplex_geotrans(3, 1);
  for (const Tetrahedron& tetrahedron : ours.tetrahedra) {
    std::array<getfem::size_type, 4> corners{};
    for (std::size_t i = 0; i < 4; ++i) {
      const Eigen::Vector3d& at = ours.nodes.at(static_cast<std::size_t>(tetrahedron.nodes.at(i)));
      corners.at(i) =
          mesh.add_point(bgeot::base_node(at.x(), at.y(), at.z()));  // one point for coincident nodes
    }
    convex.push_back(mesh.add_convex(structure, corners.begin()));
    mesh.region(is_filling(ours, tetrahedron) ? filling : tooth).add(convex.back());
  }
  for (const BondFacet& facet : ours.bond) add_facet(bond, facet.tooth_tetrahedron, ours, facet.tooth);

  const std::map<Corners, int> behind = tetrahedra_by_face(ours);
  getfem::size_type next = bond + 1;
  for (const Surface& surface : ours.surfaces) {
    surfaces_[{surface.name, false}] = next;
    surfaces_[{surface.name, true}] = next + 1;
    for (const SixNodes& facet : surface.facets) {
      const int tetrahedron = behind.at(corners_of(facet));
      const bool on_filling = is_filling(ours, ours.tetrahedra.at(static_cast<std::size_t>(tetrahedron)));
      add_facet(next + (on_filling ? 1 : 0), tetrahedron, ours, facet);
    }
    next += 2;
  }
}

void PeerMesh::add_facet(getfem::size_type region, int tetrahedron, const Mesh& ours, const SixNodes& facet) {
  const auto t = static_cast<std::size_t>(tetrahedron);
  for (std::size_t face = 0; face < 4; ++face)
    if (face_of(ours.tetrahedra.at(t), face) == corners_of(facet)) {
      mesh.region(region).add(convex.at(t), static_cast<getfem::short_type>(face));
      return;
    }
  throw std::logic_error("a facet is not a face of the tetrahedron behind it");
}

}  // namespace setstress::testing
