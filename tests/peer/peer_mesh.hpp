#pragma once
// The nodes and tetrahedra of our mesh as a mesh of GetFEM, in which the two sides of the bond share their
// points.

#include <getfem/getfem_mesh.h>

#include <array>
#include <map>
#include <string>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::testing {

class PeerMesh {
 public:
  explicit PeerMesh(const Mesh& mesh);

  getfem::mesh mesh;
  /// Number of each of our tetrahedra there.
  std::vector<getfem::size_type> convex;

  /// Numbers of the regions there: tetrahedra of the tooth (or fixtures) and of the filling; facets of the
  /// bond, seen from the tooth.
  static constexpr getfem::size_type tooth = 1, filling = 2, bond = 3;
  /// Number of the facets of a named surface that lie on the tooth, or on the filling. Empty where there are
  /// none.
  [[nodiscard]] getfem::size_type surface(const std::string& name, bool on_filling) const {
    return surfaces_.at({name, on_filling});
  }

 private:
  void add_facet(getfem::size_type region, int tetrahedron, const Mesh& ours, const SixNodes& facet);

  std::map<std::pair<std::string, bool>, getfem::size_type> surfaces_;
};

}  // namespace setstress::testing
