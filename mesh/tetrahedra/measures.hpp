#pragma once
// What can be read off a mesh without solving anything: volumes, areas, C-factors, element quality, and the
// two tables other code walks along: who is across each face, and between which corners each edge node lies.

#include <array>
#include <string>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// Volume of each region [mm3], by index into Mesh::regions.
std::vector<double> region_volumes(const Mesh& mesh);

/// Bonded area of each wall [mm2], by index into Mesh::walls.
std::vector<double> wall_areas(const Mesh& mesh);

/// Bonded area [mm2] of each wall (row) shared with each increment of the filling (column, from 0).
Eigen::MatrixXd wall_areas_by_increment(const Mesh& mesh);

/// Area of each named outer surface [mm2], by index into Mesh::surfaces.
std::vector<double> surface_areas(const Mesh& mesh);

/// Number of increments of the filling: one more than the largest Region::increment; 0 without a filling.
int number_of_increments(const Mesh& mesh);

/// Areas [mm2] of a body of composite that are held by something and that can move freely.
struct BondedAndFree {
  double bonded = 0, free = 0;
  /// C-factor [-]: bonded over free area (Feilzer, de Gee and Davidson, J Dent Res 66 (1987) 1636); infinite
  /// where nothing is free.
  [[nodiscard]] double c_factor() const;
};

struct ConfigurationFactors {
  BondedAndFree whole;                    ///< of the filling as one body
  std::vector<BondedAndFree> increments;  ///< each at the moment it is placed
};

/// Bonded and free areas of the filling. An increment, at the moment it is placed, is bonded where it touches
/// the walls or an increment placed before it (a smaller number), and free elsewhere: on the outer surface
/// and where later increments will come. The whole filling is bonded on the walls and free on its outer
/// surface. Outer surfaces named in `held` count as bonded, for specimens between rigid plates that are not
/// meshed. Throws std::invalid_argument for a name that is not a surface of the mesh.
ConfigurationFactors configuration_factors(const Mesh& mesh, const std::vector<std::string>& held = {});

/// The two corner nodes between which each node lies, smaller index first; a corner node: itself twice.
std::vector<std::array<int, 2>> edge_node_parents(const Mesh& mesh);

/// 12 (3 V)^(2/3) / (sum of squared edge lengths) [-]: 1 for a regular tetrahedron, 0 for a flat one,
/// negative for an inverted one (Liu and Joe, BIT 34 (1994) 268).
double mean_ratio(const Mesh& mesh, const Tetrahedron& tetrahedron);

/// Worst element of a mesh.
struct Quality {
  double mean_ratio;         ///< the smallest
  int tetrahedron;           ///< its index
  Eigen::Vector3d centroid;  ///< and where it is [mm]
};
/// Throws std::invalid_argument for a mesh without tetrahedra.
Quality worst_quality(const Mesh& mesh);

/// The line along which two surfaces meet, as a surface of its own whose facets are collapsed onto the edges
/// of the line: they have no area and carry no load; they serve to hold the line. Throws
/// std::invalid_argument for names that are not surfaces of the mesh or surfaces that do not meet.
Surface meeting_line(const Mesh& mesh, const std::string& first, const std::string& second,
                     const std::string& name);

/// Local corners of the face opposite to corner i, right-hand normal pointing out of the tetrahedron.
inline constexpr std::array<std::array<int, 3>, 4> face_opposite{
    {{1, 2, 3}, {0, 3, 2}, {0, 1, 3}, {0, 2, 1}}};

/// Tetrahedra across the four faces; face i is opposite to corner i; `outside` where there is none.
struct FaceNeighbours {
  static constexpr int outside = -1;
  std::array<int, 4> across{outside, outside, outside, outside};
};

/// Neighbours of every tetrahedron. The bond is crossed: the tetrahedra on its two sides are neighbours
/// although their nodes are different. Throws std::runtime_error where more than two tetrahedra share a face.
std::vector<FaceNeighbours> face_neighbours(const Mesh& mesh);

}  // namespace setstress
