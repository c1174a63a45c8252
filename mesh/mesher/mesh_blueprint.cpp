#include "mesh/mesher/mesh_blueprint.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cstdint>
#include <map>
#include <set>
#include <unordered_map>

#include "mesh/mesher/linear_mesh.hpp"
#include "mesh/tetrahedra/locality.hpp"
#include "mesh/tetrahedra/splinters.hpp"

namespace setstress {
namespace {

/// Local nodes of the four faces of a ten-node tetrahedron in the order of SixNodes, counter-clockwise from
/// outside.
constexpr std::size_t face_nodes[4][6] = {
    {1, 2, 3, 5, 9, 8}, {0, 3, 2, 7, 9, 6}, {0, 1, 3, 4, 8, 7}, {0, 2, 1, 6, 5, 4}};

/// A face of a tetrahedron.
struct Side {
  int tetrahedron = -1;
  int face = -1;
};

/// The two sides of a face of the mesh; the second is missing (-1) on the outer surface.
struct Face {
  Side first, second;
};

/// Second-order tetrahedra over the corners of the linear mesh: every edge gets one middle node.
void raise_to_second_order(const LinearMesh& linear, Mesh& mesh) {
  mesh.nodes = linear.nodes;
  std::unordered_map<std::uint64_t, int> middles;
  const auto middle = [&](int a, int b) {
    const auto [low, high] = std::minmax(a, b);
    const auto key = static_cast<std::uint64_t>(low) << 32 | static_cast<std::uint64_t>(high);
    const auto [entry, is_new] = middles.emplace(key, static_cast<int>(mesh.nodes.size()));
    if (is_new) {
      const Eigen::Vector3d place =
          0.5 * (linear.nodes[static_cast<std::size_t>(a)] + linear.nodes[static_cast<std::size_t>(b)]);
      mesh.nodes.push_back(place);
    }
    return entry->second;
  };
  for (std::size_t t = 0; t < linear.tetrahedra.size(); ++t) {
    const auto& [a, b, c, d] = linear.tetrahedra[t];
    mesh.tetrahedra.push_back({.nodes = {a, b, c, d, middle(a, b), middle(b, c), middle(c, a), middle(a, d),
                                         middle(b, d), middle(c, d)},
                               .region = linear.region[t]});
  }
}

SixNodes nodes_of(const Mesh& mesh, const Side& side) {
  const auto& all = mesh.tetrahedra[static_cast<std::size_t>(side.tetrahedron)].nodes;
  SixNodes nodes{};
  for (std::size_t i = 0; i < 6; ++i) nodes[i] = all[face_nodes[side.face][i]];
  return nodes;
}

/// All faces of the mesh in the order of their sorted corners.
std::vector<Face> find_faces(const Mesh& mesh) {
  std::map<std::array<int, 3>, Face> found;
  for (int t = 0; t < static_cast<int>(mesh.tetrahedra.size()); ++t)
    for (int f = 0; f < 4; ++f) {
      const SixNodes nodes = nodes_of(mesh, {t, f});
      std::array<int, 3> key{nodes[0], nodes[1], nodes[2]};
      std::sort(key.begin(), key.end());
      const auto [entry, is_new] = found.emplace(key, Face{.first = {t, f}, .second = {}});
      if (!is_new) entry->second.second = {t, f};
    }
  std::vector<Face> faces;
  for (const auto& [key, face] : found) faces.push_back(face);
  return faces;
}

Eigen::Vector3d centroid(const Mesh& mesh, const SixNodes& facet) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (std::size_t corner = 0; corner < 3; ++corner)
    sum += mesh.nodes[static_cast<std::size_t>(facet[corner])];
  return sum / 3;
}

const Region& region_of(const Mesh& mesh, const Side& side) {
  const Tetrahedron& tetrahedron = mesh.tetrahedra[static_cast<std::size_t>(side.tetrahedron)];
  return mesh.regions[static_cast<std::size_t>(tetrahedron.region)];
}

/// Fills in the bond, walls in alphabetical order; both sides of a facet are still on the same nodes. Returns
/// the facets of cracks, for which the blueprint names no wall.
std::vector<BondFacet> find_bond(Mesh& mesh, const std::vector<Face>& faces, const Blueprint& blueprint) {
  std::vector<NamedFacet> named;
  for (const auto& [first, second] : faces) {
    if (second.face < 0 || region_of(mesh, first).is_filling() == region_of(mesh, second).is_filling())
      continue;
    const bool swapped = region_of(mesh, first).is_filling();
    const Side &tooth = swapped ? second : first, &filling = swapped ? first : second;
    const SixNodes nodes = nodes_of(mesh, tooth);  // outward from the tooth, hence into the filling
    named.push_back({.facet = {.tooth = nodes,
                               .filling = nodes,
                               .wall = -1,
                               .tooth_tetrahedron = tooth.tetrahedron,
                               .filling_tetrahedron = filling.tetrahedron},
                     .wall = blueprint.wall(centroid(mesh, nodes), area_and_normal(mesh, nodes).normal)});
  }
  join_splinters(named);
  std::map<std::string, std::vector<BondFacet>> by_wall;
  for (const auto& [facet, wall] : named) by_wall[wall].push_back(facet);
  const std::vector<BondFacet> cracks = by_wall[""];
  by_wall.erase("");
  for (auto& [wall, facets] : by_wall) {
    for (BondFacet& facet : facets) facet.wall = static_cast<int>(mesh.walls.size());
    mesh.walls.push_back(wall);
    mesh.bond.insert(mesh.bond.end(), facets.begin(), facets.end());
  }
  return cracks;
}

/// Gives the filling its own copy of every node on the bond and on cracks; of a tied bond, on cracks only.
void separate_filling(Mesh& mesh, const std::vector<BondFacet>& cracks, bool tied) {
  std::vector<bool> separate(mesh.nodes.size(), false);
  const auto mark = [&](const std::vector<BondFacet>& facets, bool value) {
    for (const BondFacet& facet : facets)
      for (const int n : facet.tooth) separate[static_cast<std::size_t>(n)] = value;
  };
  mark(cracks, true);
  mark(mesh.bond, !tied);
  std::vector<int> own(mesh.nodes.size());
  for (std::size_t n = 0; n < separate.size(); ++n) {
    own[n] = separate[n] ? static_cast<int>(mesh.nodes.size()) : static_cast<int>(n);
    if (separate[n]) mesh.nodes.push_back(Eigen::Vector3d(mesh.nodes[n]));
  }
  const auto move_to_own = [&](auto& nodes) {
    for (int& n : nodes) n = own[static_cast<std::size_t>(n)];
  };
  for (Tetrahedron& tetrahedron : mesh.tetrahedra)
    if (mesh.regions[static_cast<std::size_t>(tetrahedron.region)].is_filling())
      move_to_own(tetrahedron.nodes);
  for (BondFacet& facet : mesh.bond) move_to_own(facet.filling);
}

/// All sides of the outer surface, the two of each crack last.
std::vector<Side> find_outer_sides(const std::vector<Face>& faces, const std::vector<BondFacet>& cracks) {
  std::set<std::pair<int, int>> cracked;
  for (const BondFacet& facet : cracks) cracked.emplace(facet.tooth_tetrahedron, facet.filling_tetrahedron);
  std::vector<Side> sides;
  for (const auto& [first, second] : faces)
    if (second.face < 0) sides.push_back(first);
  for (const auto& [first, second] : faces)
    if (cracked.contains({first.tetrahedron, second.tetrahedron}) ||
        cracked.contains({second.tetrahedron, first.tetrahedron}))
      sides.insert(sides.end(), {first, second});
  return sides;
}

/// Fills in the named outer surfaces in alphabetical order.
void find_surfaces(Mesh& mesh, const std::vector<Side>& sides, const Blueprint& blueprint) {
  std::map<std::string, std::vector<SixNodes>> by_name;
  for (const Side& side : sides) {
    const SixNodes nodes = nodes_of(mesh, side);
    const std::string name =
        blueprint.surface(centroid(mesh, nodes), area_and_normal(mesh, nodes).normal, region_of(mesh, side));
    if (!name.empty()) by_name[name].push_back(nodes);
  }
  for (auto& [name, facets] : by_name) mesh.surfaces.push_back({.name = name, .facets = std::move(facets)});
}

}  // namespace

Mesh mesh_blueprint(const GmshSession& session, const Blueprint& blueprint, const MeshSize& size,
                    const BeforeMeshing& before) {
  ConformingSolids solids;
  LinearMesh linear;
  session.attempt("cut the solids", [&] { solids = make_conforming(blueprint); });
  if (before) {
    SolidSizes sizes;
    session.attempt("measure the solids", [&] { sizes = sizes_of(solids); });
    before(sizes);
  }
  session.attempt("mesh the solids", [&] { linear = mesh_solids(solids, size); });

  Mesh mesh;
  mesh.regions = solids.regions;
  raise_to_second_order(linear, mesh);
  const std::vector<Face> faces = find_faces(mesh);
  const std::vector<BondFacet> cracks = find_bond(mesh, faces, blueprint);
  separate_filling(mesh, cracks, size.tied_bond);
  find_surfaces(mesh, find_outer_sides(faces, cracks), blueprint);
  mesh = renumber_for_locality(mesh);
  require_valid(mesh);
  return mesh;
}

}  // namespace setstress
