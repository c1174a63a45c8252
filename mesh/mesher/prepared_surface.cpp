#include "mesh/geometry/prepared_surface.hpp"

#include <gmsh.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <map>
#include <unordered_map>

#include "mesh/mesher/conforming_solids.hpp"
#include "mesh/mesher/gmsh_session.hpp"
#include "mesh/mesher/mesh_geometry.hpp"
#include "mesh/tooth/tooth.hpp"

namespace setstress::mesher {
namespace {

constexpr double largest_edge = 4.0;  // [mm]; flat faces need no more
constexpr double circle_points = 48;  // a round of 4 mm is followed to 0.005 mm
constexpr int nowhere = -1;

/// What lies on the two sides of a face of the solids: regions, `nowhere` outside of all.
using Sides = std::array<int, 2>;

std::map<int, Sides> faces_of(const ConformingSolids& solids) {
  std::map<int, Sides> faces;
  for (std::size_t region = 0; region < solids.regions.size(); ++region)
    for (const int volume : solids.volumes[region]) {
      gmsh::vectorpair boundary;
      gmsh::model::getBoundary({{3, volume}}, boundary, /*combined=*/false, /*oriented=*/false);
      for (const auto& [dimension, tag] : boundary) {
        const auto [face, is_new] = faces.try_emplace(tag, Sides{static_cast<int>(region), nowhere});
        if (!is_new) face->second[1] = static_cast<int>(region);
      }
    }
  return faces;
}

void triangulate() {
  gmsh::option::setNumber("Mesh.MeshSizeExtendFromBoundary", 0);
  gmsh::option::setNumber("Mesh.MeshSizeFromPoints", 0);
  gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", 0);
  gmsh::option::setNumber("Mesh.MinimumCirclePoints", circle_points);
  gmsh::option::setNumber("Mesh.MeshSizeMax", largest_edge);
  gmsh::option::setNumber("Mesh.Algorithm", 5);  // Delaunay on the faces
  gmsh::model::mesh::generate(2);
}

/// Reads triangles of faces; nodes are numbered as they are met.
class Reader {
 public:
  explicit Reader(PreparedSurface& surface) : surface_(surface) {
    std::vector<std::size_t> tags;
    std::vector<double> coordinates, parametric;
    gmsh::model::mesh::getNodes(tags, coordinates, parametric);
    for (std::size_t i = 0; i < tags.size(); ++i)
      place_[tags[i]] = Eigen::Map<const Eigen::Vector3d>(&coordinates[3 * i]);
  }

  std::vector<std::array<int, 3>> triangles_of(int face) {
    std::vector<std::size_t> elements, corners;
    gmsh::model::mesh::getElementsByType(/*three-node triangle*/ 2, elements, corners, face);
    std::vector<std::array<int, 3>> triangles;
    for (std::size_t first = 0; first + 2 < corners.size(); first += 3)
      triangles.push_back(
          {number_of(corners[first]), number_of(corners[first + 1]), number_of(corners[first + 2])});
    return triangles;
  }

 private:
  int number_of(std::size_t tag) {
    const auto [entry, is_new] = number_.emplace(tag, static_cast<int>(surface_.points.size()));
    if (is_new) surface_.points.push_back(place_.at(tag));
    return entry->second;
  }
  PreparedSurface& surface_;
  std::unordered_map<std::size_t, Eigen::Vector3d> place_;
  std::unordered_map<std::size_t, int> number_;
};

Eigen::Vector3d middle_of(const PreparedSurface& surface, const std::array<int, 3>& corners) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (const int corner : corners) sum += surface.points[static_cast<std::size_t>(corner)];
  return sum / 3;
}

/// Triangles against the filling are given the wall 0 until they are named.
PreparedSurface read_surface(const ConformingSolids& solids) {
  PreparedSurface surface;
  for (const Region& region : solids.regions) surface.tissues.push_back(region.name);
  Reader reader(surface);
  const auto is_filling = [&](int region) {
    return region != nowhere && solids.regions[static_cast<std::size_t>(region)].is_filling();
  };
  for (const auto& [face, sides] : faces_of(solids)) {
    const auto [one, other] = sides;
    const bool against_filling = is_filling(one) != is_filling(other) && other != nowhere;
    if (!against_filling && other != nowhere) continue;  // inside the tooth, or inside the filling
    for (const std::array<int, 3>& corners : reader.triangles_of(face))
      if (is_filling(one) && other == nowhere)
        surface.free_area += 0.5 * normal_of(surface, corners).norm();
      else
        surface.triangles.push_back({corners, is_filling(one) ? other : one, against_filling ? 0 : -1});
  }
  return surface;
}

void name_walls(PreparedSurface& surface, const Blueprint& blueprint) {
  std::map<std::string, int> number;
  for (PreparedSurface::Triangle& triangle : surface.triangles) {
    if (triangle.wall < 0) continue;
    const std::string name = blueprint.wall(middle_of(surface, triangle.corners),
                                            normal_of(surface, triangle.corners).normalized());
    const auto [entry, is_new] = number.emplace(name, static_cast<int>(surface.walls.size()));
    if (is_new) surface.walls.push_back(name);
    triangle.wall = entry->second;
  }
}

}  // namespace

PreparedSurface prepared_surface(const ToothCase& tooth_case) {
  check_dimensions(tooth_case);
  const GmshSession session;
  Blueprint blueprint;
  ConformingSolids solids;
  PreparedSurface surface;
  session.attempt("build the solids", [&] {
    blueprint = tooth_blueprint({tooth_case.tooth, tooth_case.preparation, {}});
    solids = make_conforming(blueprint);
    gmsh::model::occ::synchronize();
  });
  session.attempt("draw the surface", [&] {
    triangulate();
    surface = read_surface(solids);
  });
  orient_outwards(surface);
  name_walls(surface, blueprint);
  return surface;
}

}  // namespace setstress::mesher
