#include "mesh/mesher/linear_mesh.hpp"

#include <gmsh.h>

#include <Eigen/Geometry>

#include <algorithm>
#include <set>
#include <unordered_map>

#include "mesh/mesher/sliver_repair.hpp"

namespace setstress {
namespace {

/// Growth of the element size per mm of distance from the bond [-].
constexpr double growth = 0.35;

/// Tetrahedra with a smaller radius ratio are repaired where their nodes can move [-].
constexpr double wanted_radius_ratio = 0.25;

/// Tags of the faces around the solids of the regions that do or do not belong to the filling.
std::set<int> boundary_faces(const ConformingSolids& solids, bool of_filling) {
  std::set<int> faces;
  for (std::size_t region = 0; region < solids.regions.size(); ++region) {
    if (solids.regions[region].is_filling() != of_filling) continue;
    for (const int volume : solids.volumes[region]) {
      gmsh::vectorpair boundary;
      gmsh::model::getBoundary({{3, volume}}, boundary, /*combined=*/false, /*oriented=*/false);
      for (const auto& [dimension, tag] : boundary) faces.insert(tag);
    }
  }
  return faces;
}

/// Faces shared by the filling and something else.
std::vector<double> bond_faces(const ConformingSolids& solids) {
  const std::set<int> filling = boundary_faces(solids, true), other = boundary_faces(solids, false);
  std::vector<int> shared;
  std::set_intersection(filling.begin(), filling.end(), other.begin(), other.end(),
                        std::back_inserter(shared));
  return {shared.begin(), shared.end()};
}

/// A field whose value grows from `at_bond` on the bond to `largest` away from it.
int add_graded_field(int distance_field, double at_bond, double largest) {
  namespace field = gmsh::model::mesh::field;
  const int tag = field::add("Threshold");
  field::setNumber(tag, "IField", distance_field);
  field::setNumber(tag, "LcMin", at_bond);
  field::setNumber(tag, "LcMax", largest);
  field::setNumber(tag, "DistMin", 0.5 * at_bond);
  field::setNumber(tag, "DistMax", 0.5 * at_bond + (largest - at_bond) / growth);
  return tag;
}

/// Sizes inside the filling never exceed `size.filling`, elsewhere `size.far`.
void set_size_field(const ConformingSolids& solids, const MeshSize& size) {
  namespace field = gmsh::model::mesh::field;
  std::vector<double> filling_volumes;
  for (std::size_t region = 0; region < solids.regions.size(); ++region)
    if (solids.regions[region].is_filling())
      filling_volumes.insert(filling_volumes.end(), solids.volumes[region].begin(),
                             solids.volumes[region].end());
  const std::vector<double> bond = bond_faces(solids);

  std::vector<double> fields;
  const int everywhere = field::add("MathEval");
  field::setString(everywhere, "F",
                   std::to_string(bond.empty() && !filling_volumes.empty() ? size.filling : size.far));
  fields.push_back(everywhere);
  if (!bond.empty()) {
    const int distance = field::add("Distance");
    field::setNumbers(distance, "FacesList", bond);
    field::setNumber(distance, "NNodesByEdge", 60);
    fields.push_back(add_graded_field(distance, size.bond, size.far));
    const int inside = field::add("Restrict");
    field::setNumber(inside, "IField",
                     add_graded_field(distance, size.bond, std::max(size.bond, size.filling)));
    field::setNumbers(inside, "RegionsList", filling_volumes);
    fields.push_back(inside);
  }
  const int smallest = field::add("Min");
  field::setNumbers(smallest, "FieldsList", fields);
  field::setAsBackgroundMesh(smallest);
}

void generate() {
  gmsh::option::setNumber("Mesh.MeshSizeExtendFromBoundary", 0);
  gmsh::option::setNumber("Mesh.MeshSizeFromPoints", 0);
  gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", 0);
  gmsh::option::setNumber("Mesh.Algorithm", 6);  // frontal Delaunay on the faces
  gmsh::option::setNumber("Mesh.Algorithm3D",
                          1);  // Delaunay; HXT gives another mesh each time, even on one thread
  gmsh::option::setNumber("Mesh.Optimize", 1);
  gmsh::model::mesh::generate(3);
}

double six_volumes(const LinearMesh& mesh, const std::array<int, 4>& t) {
  const auto at = [&](std::size_t i) { return mesh.nodes[static_cast<std::size_t>(t[i])]; };
  return (at(1) - at(0)).cross(at(2) - at(0)).dot(at(3) - at(0));
}

/// Projection onto the directions in which nodes inside an entity may slide.
Eigen::Matrix3d mobility_in(int dimension, int tag) {
  if (dimension == 3) return Eigen::Matrix3d::Identity();
  std::string type;
  gmsh::model::getType(dimension, tag, type);
  std::vector<double> least, most, direction;
  gmsh::model::getParametrizationBounds(dimension, tag, least, most);
  if (dimension == 2 && type == "Plane") {
    gmsh::model::getNormal(tag, least, direction);
    const Eigen::Vector3d normal = Eigen::Map<const Eigen::Vector3d>(direction.data()).normalized();
    return Eigen::Matrix3d::Identity() - normal * normal.transpose();
  }
  if (dimension == 1 && type == "Line") {
    gmsh::model::getDerivative(1, tag, least, direction);
    const Eigen::Vector3d tangent = Eigen::Map<const Eigen::Vector3d>(direction.data()).normalized();
    return tangent * tangent.transpose();
  }
  return Eigen::Matrix3d::Zero();
}

struct PlacedNode {
  Eigen::Vector3d position;
  Eigen::Matrix3d mobility;
};

/// All nodes by Gmsh's tag.
std::unordered_map<std::size_t, PlacedNode> read_nodes() {
  std::unordered_map<std::size_t, PlacedNode> nodes;
  gmsh::vectorpair entities;
  gmsh::model::getEntities(entities);
  for (const auto& [dimension, tag] : entities) {
    std::vector<std::size_t> tags;
    std::vector<double> coordinates, parametric;
    gmsh::model::mesh::getNodes(tags, coordinates, parametric, dimension, tag);
    if (tags.empty()) continue;
    const Eigen::Matrix3d mobility = dimension == 0 ? Eigen::Matrix3d::Zero() : mobility_in(dimension, tag);
    for (std::size_t i = 0; i < tags.size(); ++i)
      nodes[tags[i]] = {Eigen::Map<const Eigen::Vector3d>(&coordinates[3 * i]), mobility};
  }
  return nodes;
}

/// Reads the four-node tetrahedra of every solid back; corners are numbered as they are met.
LinearMesh read_back(const ConformingSolids& solids) {
  const std::unordered_map<std::size_t, PlacedNode> nodes = read_nodes();
  LinearMesh mesh;
  std::unordered_map<std::size_t, int> number;
  const auto number_of = [&](std::size_t tag) {
    const auto [entry, is_new] = number.emplace(tag, static_cast<int>(mesh.nodes.size()));
    if (is_new) {
      mesh.nodes.push_back(nodes.at(tag).position);
      mesh.mobility.push_back(nodes.at(tag).mobility);
    }
    return entry->second;
  };
  for (std::size_t region = 0; region < solids.regions.size(); ++region)
    for (const int volume : solids.volumes[region]) {
      std::vector<std::size_t> element_tags, corners;  // Gmsh fills vectors that come empty
      gmsh::model::mesh::getElementsByType(/*four-node tetrahedron*/ 4, element_tags, corners, volume);
      for (std::size_t first = 0; first < corners.size(); first += 4) {
        std::array<int, 4> t{};
        for (std::size_t i = 0; i < 4; ++i) t[i] = number_of(corners[first + i]);
        if (six_volumes(mesh, t) < 0) std::swap(t[2], t[3]);
        mesh.tetrahedra.push_back(t);
        mesh.region.push_back(static_cast<int>(region));
      }
    }
  return mesh;
}

}  // namespace

SolidSizes sizes_of(const ConformingSolids& solids) {
  gmsh::model::occ::synchronize();
  SolidSizes sizes;
  const auto measure = [](int dimension, int tag) {
    double mass = 0;  // at a density of one
    gmsh::model::occ::getMass(dimension, tag, mass);
    return mass;
  };
  for (std::size_t region = 0; region < solids.regions.size(); ++region)
    for (const int volume : solids.volumes[region])
      (solids.regions[region].is_filling() ? sizes.filling : sizes.rest) += measure(3, volume);
  for (const double face : bond_faces(solids)) sizes.bond += measure(2, static_cast<int>(face));
  return sizes;
}

LinearMesh mesh_solids(const ConformingSolids& solids, const MeshSize& size) {
  gmsh::model::occ::synchronize();
  set_size_field(solids, size);
  generate();
  LinearMesh mesh = read_back(solids);
  repair_slivers(mesh, wanted_radius_ratio);
  return mesh;
}

}  // namespace setstress
