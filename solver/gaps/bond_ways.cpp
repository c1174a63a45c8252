#include "solver/gaps/bond_ways.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

namespace setstress {

namespace {

/// A facet at one of its edges, from the corner of the smaller node number.
struct Side {
  std::size_t facet;
  std::array<std::size_t, 2> corners;
  std::size_t opposite;
};
using Edge = std::array<int, 2>;  ///< nodes, smaller first

std::map<Edge, std::vector<Side>> sides_of(const Mesh& mesh, const std::vector<char>& there) {
  std::map<Edge, std::vector<Side>> sides;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    if (!there[f]) continue;
    for (std::size_t opposite = 0; opposite < 3; ++opposite) {
      std::array<std::size_t, 2> c{(opposite + 1) % 3, (opposite + 2) % 3};
      const SixNodes& nodes = mesh.bond[f].tooth;
      if (nodes[c[0]] > nodes[c[1]]) std::swap(c[0], c[1]);
      sides[{nodes[c[0]], nodes[c[1]]}].push_back({f, c, opposite});
    }
  }
  return sides;
}

/// A facet point as seen from an edge of its facet.
struct Beside {
  int point;
  double share;   ///< of the edge, where the line from the opposite corner through the point meets it [-]
  double along;   ///< of the foot of the point, from the edge's first node [mm]
  double height;  ///< over the edge [mm]
};

/// The three points beside an edge: one beside each end, one beside its middle.
std::array<Beside, 3> beside(const Mesh& mesh, const BondPoints& points, const Edge& edge, const Side& side) {
  const auto node = [&](int n) { return mesh.nodes[static_cast<std::size_t>(n)]; };
  const Eigen::Vector3d along = (node(edge[1]) - node(edge[0])).normalized();
  std::array<Beside, 3> found;
  std::size_t next = 0;
  for (std::size_t i = 0; i < 6; ++i) {
    const auto& weights = facet_points()[i].barycentric;
    constexpr double near = 0.2;  // the others are 0.4 and more away
    if (weights[side.opposite] > near) continue;
    const std::size_t p = 6 * side.facet + i;
    const Eigen::Vector3d from_start = points.places[p] - node(edge[0]);
    const double foot = from_start.dot(along);
    found.at(next++) = {static_cast<int>(p),
                        weights[side.corners[1]] / (weights[side.corners[0]] + weights[side.corners[1]]),
                        foot, (from_start - foot * along).norm()};
  }
  return found;
}

void add_across(const std::array<Beside, 3>& one, const std::array<Beside, 3>& other,
                std::vector<Touch>& touches) {
  for (const Beside& a : one)
    for (const Beside& b : other)
      if (std::abs(a.share - b.share) < 0.5)
        touches.push_back({a.point, b.point, std::hypot(a.along - b.along, a.height + b.height)});
}

void add_within(std::size_t facet, const BondPoints& points, std::vector<Touch>& touches) {
  for (std::size_t a = 6 * facet; a < 6 * facet + 6; ++a)
    for (std::size_t b = a + 1; b < 6 * facet + 6; ++b)
      touches.push_back(
          {static_cast<int>(a), static_cast<int>(b), (points.places[a] - points.places[b]).norm()});
}

std::vector<std::set<int>> nodes_of(const Mesh& mesh, const std::set<std::string>& names) {
  std::vector<std::set<int>> nodes;
  for (const std::string& name : names) {
    const auto found = std::ranges::find(mesh.surfaces, name, &Surface::name);
    if (found == mesh.surfaces.end())
      throw std::invalid_argument(fmt::format("ways along the bond: the mesh has no surface \"{}\"", name));
    std::set<int>& own = nodes.emplace_back();
    for (const SixNodes& facet : found->facets) own.insert(facet.begin(), facet.begin() + 3);
  }
  return nodes;
}

}  // namespace

BondPoints bond_points(const Mesh& mesh) {
  BondPoints points;
  for (const BondFacet& facet : mesh.bond) {
    const double area = area_and_normal(mesh, facet.tooth).area;
    for (const FacetPoint& where : facet_points()) {
      Eigen::Vector3d& place = points.places.emplace_back(Eigen::Vector3d::Zero());
      for (std::size_t corner = 0; corner < 3; ++corner)
        place += where.barycentric[corner] * mesh.nodes[static_cast<std::size_t>(facet.tooth[corner])];
      points.areas.push_back(where.weight * area);
    }
  }
  return points;
}

BondWays bond_ways(const Mesh& mesh, const std::vector<char>& there, const std::set<std::string>& closed) {
  if (there.size() != mesh.bond.size())
    throw std::invalid_argument("ways along the bond: the mesh has another number of bond facets");
  const BondPoints points = bond_points(mesh);
  const std::vector<std::set<int>> closed_nodes = nodes_of(mesh, closed);
  const auto is_closed = [&](const Edge& edge) {
    return std::ranges::any_of(closed_nodes, [&](const std::set<int>& nodes) {
      return nodes.contains(edge[0]) && nodes.contains(edge[1]);
    });
  };
  BondWays ways;
  for (std::size_t f = 0; f < there.size(); ++f)
    if (there[f]) add_within(f, points, ways.touches);
  for (const auto& [edge, sides] : sides_of(mesh, there)) {
    for (std::size_t a = 0; a < sides.size(); ++a)
      for (std::size_t b = a + 1; b < sides.size(); ++b)
        add_across(beside(mesh, points, edge, sides[a]), beside(mesh, points, edge, sides[b]), ways.touches);
    if (sides.size() > 1 || is_closed(edge)) continue;
    for (const Beside& point : beside(mesh, points, edge, sides.front()))
      ways.rim.push_back({point.point, point.height});
  }
  return ways;
}

}  // namespace setstress
