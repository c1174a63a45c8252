#pragma once
// The mesh as everything downstream sees it: tetrahedra by region, bonded facets by wall, outer surfaces by
// name.

#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

namespace setstress {

/// One volume of the conforming mesh: a tissue, a fixture of a specimen, or an increment of the filling.
struct Region {
  std::string
      name;  ///< "enamel", "dentin", "pulp", "plate", "ring", ..., or "increment 1", "increment 2", ...
  int increment = -1;  ///< position in the plan from 0 for increments of the filling; -1 for everything else
  [[nodiscard]] bool is_filling() const { return increment >= 0; }
  bool operator==(const Region&) const = default;
};

/// Straight-sided ten-node tetrahedron, nodes in the order of VTK_QUADRATIC_TETRA: corners 0-3 (positive
/// volume), then the middles of edges 01, 12, 20, 03, 13, 23.
struct Tetrahedron {
  std::array<int, 10> nodes;
  int region;  ///< index into Mesh::regions
  bool operator==(const Tetrahedron&) const = default;
};

/// Six-node triangle, nodes in the order of VTK_QUADRATIC_TRIANGLE: corners 0-2, then middles of edges 01,
/// 12, 20.
using SixNodes = std::array<int, 6>;

/// Zero-thickness facet of the bond between tooth (or fixture) and filling. Node i of one side lies on node i
/// of the other. The corner order makes the right-hand normal point from the tooth into the filling, so that
/// (u_filling - u_tooth) . normal > 0 is an opening.
struct BondFacet {
  SixNodes tooth;
  SixNodes filling;         ///< equal to `tooth` where the mesh was built with a tied bond
  int wall;                 ///< index into Mesh::walls
  int tooth_tetrahedron;    ///< index of the tetrahedron behind the facet, on the tooth side
  int filling_tetrahedron;  ///< and on the filling side
  bool operator==(const BondFacet&) const = default;
};

/// Named part of the outer surface, normals pointing out of the body.
struct Surface {
  std::string
      name;  ///< "base", "root surface", "top of filling", ... (see geometry.hpp for what each shape names)
  std::vector<SixNodes> facets;
  bool operator==(const Surface&) const = default;
};

/// Conforming second-order mesh. Lengths in mm; x mesio-distal (positive towards distal), y bucco-lingual
/// (positive towards buccal), z occlusal, z = 0 at the cemento-enamel junction.
struct Mesh {
  std::vector<Eigen::Vector3d> nodes;
  std::vector<Tetrahedron> tetrahedra;
  std::vector<Region> regions;
  std::vector<BondFacet> bond;
  std::vector<std::string>
      walls;  ///< "floor", "axial", "buccal", "lingual", "mesial", "distal", "pulpal floor", ...
  std::vector<Surface> surfaces;

  [[nodiscard]] int unknowns() const { return 3 * static_cast<int>(nodes.size()); }
  bool operator==(const Mesh&) const = default;
};

/// Position of a point of a tetrahedron given by barycentric coordinates (four, summing to 1) [mm].
Eigen::Vector3d position(const Mesh& mesh, const Tetrahedron& tetrahedron,
                         const Eigen::Vector4d& barycentric);

/// Volume [mm3]; positive for a valid tetrahedron.
double volume(const Mesh& mesh, const Tetrahedron& tetrahedron);

/// Area [mm2] and unit normal (right-hand rule over the corners) of a straight-sided facet.
struct AreaAndNormal {
  double area;
  Eigen::Vector3d normal;
};
AreaAndNormal area_and_normal(const Mesh& mesh, const SixNodes& facet);

/// Throws std::runtime_error, naming the element, if any tetrahedron is inverted or flat, any node is unused,
/// any edge node is not in the middle of its edge, or the sides of a bond facet do not coincide.
void require_valid(const Mesh& mesh);

}  // namespace setstress
