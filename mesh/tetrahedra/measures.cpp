#include "mesh/tetrahedra/measures.hpp"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <stdexcept>
#include <tuple>

namespace setstress {

namespace {

const Region& region_of(const Mesh& mesh, int tetrahedron) {
  return mesh.regions[static_cast<size_t>(mesh.tetrahedra[static_cast<size_t>(tetrahedron)].region)];
}

std::array<int, 3> sorted(std::array<int, 3> corners) {
  std::sort(corners.begin(), corners.end());
  return corners;
}

std::array<int, 3> face_corners(const Tetrahedron& tetrahedron, size_t face) {
  const auto& [a, b, c] = face_opposite[face];
  return {tetrahedron.nodes[static_cast<size_t>(a)], tetrahedron.nodes[static_cast<size_t>(b)],
          tetrahedron.nodes[static_cast<size_t>(c)]};
}

double face_area(const Mesh& mesh, const std::array<int, 3>& corners) {
  const auto corner = [&](size_t i) { return mesh.nodes[static_cast<size_t>(corners[i])]; };
  return 0.5 * (corner(1) - corner(0)).cross(corner(2) - corner(0)).norm();
}

using Faces = std::set<std::array<int, 3>>;

const Surface& surface_of(const Mesh& mesh, const std::string& name) {
  const auto is_it = [&](const Surface& surface) { return surface.name == name; };
  const auto surface = std::find_if(mesh.surfaces.begin(), mesh.surfaces.end(), is_it);
  if (surface == mesh.surfaces.end())
    throw std::invalid_argument(fmt::format("the mesh has no surface named \"{}\"", name));
  return *surface;
}

/// Faces, as sorted corners, of the surfaces named.
Faces faces_of(const Mesh& mesh, const std::vector<std::string>& names) {
  Faces faces;
  for (const std::string& name : names)
    for (const SixNodes& facet : surface_of(mesh, name).facets)
      faces.insert(sorted({facet[0], facet[1], facet[2]}));
  return faces;
}

/// Middle node of every edge of a surface, with the ends of the edge.
std::map<int, std::array<int, 2>> edges_of(const Surface& surface) {
  std::map<int, std::array<int, 2>> edges;
  for (const SixNodes& facet : surface.facets)
    for (size_t i = 0; i < 3; ++i) edges[facet[3 + i]] = {facet[i], facet[(i + 1) % 3]};
  return edges;
}

/// Where a face of increment `own` leads: to increment `other`, or (-1) to a wall, or (-2) to the open.
enum : int { wall = -1, open = -2 };

void add_face(ConfigurationFactors& factors, int own, int other, double area) {
  BondedAndFree& increment = factors.increments[static_cast<size_t>(own)];
  if (other == wall) factors.whole.bonded += area;
  if (other == open) factors.whole.free += area;
  (other == wall || (other >= 0 && other < own) ? increment.bonded : increment.free) += area;
}

}  // namespace

std::vector<double> region_volumes(const Mesh& mesh) {
  std::vector<double> volumes(mesh.regions.size(), 0.0);
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    volumes[static_cast<size_t>(tetrahedron.region)] += volume(mesh, tetrahedron);
  return volumes;
}

std::vector<double> wall_areas(const Mesh& mesh) {
  std::vector<double> areas(mesh.walls.size(), 0.0);
  for (const BondFacet& facet : mesh.bond)
    areas[static_cast<size_t>(facet.wall)] += area_and_normal(mesh, facet.tooth).area;
  return areas;
}

Eigen::MatrixXd wall_areas_by_increment(const Mesh& mesh) {
  Eigen::MatrixXd areas =
      Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(mesh.walls.size()), number_of_increments(mesh));
  for (const BondFacet& facet : mesh.bond)
    areas(facet.wall, region_of(mesh, facet.filling_tetrahedron).increment) +=
        area_and_normal(mesh, facet.tooth).area;
  return areas;
}

std::vector<double> surface_areas(const Mesh& mesh) {
  std::vector<double> areas;
  for (const Surface& surface : mesh.surfaces) {
    double& area = areas.emplace_back(0.0);
    for (const SixNodes& facet : surface.facets) area += area_and_normal(mesh, facet).area;
  }
  return areas;
}

int number_of_increments(const Mesh& mesh) {
  int count = 0;
  for (const Region& region : mesh.regions) count = std::max(count, region.increment + 1);
  return count;
}

double BondedAndFree::c_factor() const {
  return free > 0 ? bonded / free : std::numeric_limits<double>::infinity();
}

ConfigurationFactors configuration_factors(const Mesh& mesh, const std::vector<std::string>& held) {
  ConfigurationFactors factors;
  factors.increments.resize(static_cast<size_t>(number_of_increments(mesh)));
  const Faces held_faces = faces_of(mesh, held);
  const std::vector<FaceNeighbours> neighbours = face_neighbours(mesh);
  for (size_t t = 0; t < mesh.tetrahedra.size(); ++t) {
    const int own = region_of(mesh, static_cast<int>(t)).increment;
    if (own < 0) continue;
    for (size_t face = 0; face < 4; ++face) {
      const std::array<int, 3> corners = face_corners(mesh.tetrahedra[t], face);
      const int across = neighbours[t].across[face];
      const bool outer = across == FaceNeighbours::outside;
      const int other = !outer                              ? region_of(mesh, across).increment
                        : held_faces.count(sorted(corners)) ? wall
                                                            : open;
      if (other != own) add_face(factors, own, other, face_area(mesh, corners));
    }
  }
  return factors;
}

std::vector<std::array<int, 2>> edge_node_parents(const Mesh& mesh) {
  static constexpr std::array<std::array<size_t, 2>, 6> edges{
      {{0, 1}, {1, 2}, {2, 0}, {0, 3}, {1, 3}, {2, 3}}};
  std::vector<std::array<int, 2>> parents(mesh.nodes.size());
  for (size_t node = 0; node < parents.size(); ++node)
    parents[node] = {static_cast<int>(node), static_cast<int>(node)};
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    for (size_t edge = 0; edge < edges.size(); ++edge) {
      const auto& [first, second] =
          std::minmax(tetrahedron.nodes[edges[edge][0]], tetrahedron.nodes[edges[edge][1]]);
      parents[static_cast<size_t>(tetrahedron.nodes[4 + edge])] = {first, second};
    }
  return parents;
}

double mean_ratio(const Mesh& mesh, const Tetrahedron& tetrahedron) {
  double squared_edges = 0;
  for (size_t i = 0; i < 4; ++i)
    for (size_t j = 0; j < i; ++j)
      squared_edges += (mesh.nodes[static_cast<size_t>(tetrahedron.nodes[i])] -
                        mesh.nodes[static_cast<size_t>(tetrahedron.nodes[j])])
                           .squaredNorm();
  const double cube_root = std::cbrt(3 * volume(mesh, tetrahedron));
  return 12 * cube_root * std::abs(cube_root) / squared_edges;
}

namespace {

/// A face with the tetrahedron it belongs to; sorting brings the two owners of a shared face side by side.
struct OwnedFace {
  std::array<int, 3> corners;
  int tetrahedron;
  int face;
  bool operator<(const OwnedFace& other) const {
    return std::tie(corners, tetrahedron) < std::tie(other.corners, other.tetrahedron);
  }
};

/// For every node, the node that stands for it when the bond is closed: the tooth side's twin.
std::vector<int> closed_bond(const Mesh& mesh) {
  std::vector<int> stands_for(mesh.nodes.size());
  for (size_t node = 0; node < stands_for.size(); ++node) stands_for[node] = static_cast<int>(node);
  for (const BondFacet& facet : mesh.bond)
    for (size_t i = 0; i < facet.filling.size(); ++i)
      stands_for[static_cast<size_t>(facet.filling[i])] = facet.tooth[i];
  return stands_for;
}

std::vector<OwnedFace> all_faces(const Mesh& mesh) {
  const std::vector<int> stands_for = closed_bond(mesh);
  std::vector<OwnedFace> faces;
  faces.reserve(4 * mesh.tetrahedra.size());
  for (size_t t = 0; t < mesh.tetrahedra.size(); ++t)
    for (size_t face = 0; face < 4; ++face) {
      std::array<int, 3> corners = face_corners(mesh.tetrahedra[t], face);
      for (int& corner : corners) corner = stands_for[static_cast<size_t>(corner)];
      faces.push_back({sorted(corners), static_cast<int>(t), static_cast<int>(face)});
    }
  std::sort(faces.begin(), faces.end());
  return faces;
}

}  // namespace

Quality worst_quality(const Mesh& mesh) {
  if (mesh.tetrahedra.empty())
    throw std::invalid_argument("the mesh has no tetrahedra to judge the quality of");
  Quality worst{std::numeric_limits<double>::infinity(), -1, {}};
  for (size_t t = 0; t < mesh.tetrahedra.size(); ++t) {
    const double ratio = mean_ratio(mesh, mesh.tetrahedra[t]);
    if (ratio < worst.mean_ratio)
      worst = {ratio, static_cast<int>(t),
               position(mesh, mesh.tetrahedra[t], Eigen::Vector4d::Constant(0.25))};
  }
  return worst;
}

Surface meeting_line(const Mesh& mesh, const std::string& first, const std::string& second,
                     const std::string& name) {
  const auto edges = edges_of(surface_of(mesh, first)), others = edges_of(surface_of(mesh, second));
  Surface line{.name = name, .facets = {}};
  for (const auto& [middle, ends] : edges)
    if (others.contains(middle)) line.facets.push_back({ends[0], ends[1], ends[1], middle, ends[1], middle});
  if (line.facets.empty())
    throw std::invalid_argument(fmt::format("surfaces \"{}\" and \"{}\" do not meet", first, second));
  return line;
}

std::vector<FaceNeighbours> face_neighbours(const Mesh& mesh) {
  const std::vector<OwnedFace> faces = all_faces(mesh);
  std::vector<FaceNeighbours> neighbours(mesh.tetrahedra.size());
  for (size_t i = 0; i + 1 < faces.size(); ++i) {
    if (faces[i].corners != faces[i + 1].corners) continue;
    if (i + 2 < faces.size() && faces[i + 2].corners == faces[i].corners)
      throw std::runtime_error(fmt::format("tetrahedra {}, {} and {} share one face; at most two may",
                                           faces[i].tetrahedron, faces[i + 1].tetrahedron,
                                           faces[i + 2].tetrahedron));
    const auto link = [&](const OwnedFace& from, const OwnedFace& to) {
      neighbours[static_cast<size_t>(from.tetrahedron)].across[static_cast<size_t>(from.face)] =
          to.tetrahedron;
    };
    link(faces[i], faces[i + 1]);
    link(faces[i + 1], faces[i]);
  }
  return neighbours;
}

}  // namespace setstress
