#pragma once
// What the bond's true tangent adds to the stiffness that was assembled for it.

#include <Eigen/Core>
#include <vector>

#include "solver/bond/bond_layer.hpp"
#include "solver/linear/matrix/assembly_map.hpp"

namespace setstress {

/// By facet and point, in facet frames [MPa/mm].
using BondTangents = std::vector<std::array<Eigen::Matrix3d, 6>>;

/// The difference of two sets of tangents as a linear map of nodal displacements, facet by facet: an
/// assembled matrix would have to be symmetric, and this changes at every iteration.
class BondCorrection {
 public:
  /// Facets on which nothing changed are left out. `bond`, `order` (of its facets) and `decoupled` (by degree
  /// of freedom) must outlive this.
  BondCorrection(const BondLayer& bond, const AssemblyMap& order, const Mesh& mesh,
                 const BondTangents& assembled, const BondTangents& wanted,
                 const std::vector<char>& decoupled);

  /// forces += difference times displacement, 3 a node [N], [mm]; nothing at decoupled degrees of freedom.
  void add(const Eigen::VectorXd& displacement, Eigen::VectorXd& forces) const;

 private:
  using Matrix18d = Eigen::Matrix<double, 18, 18>;
  struct Facet {
    const BondFacet* nodes;
    Matrix18d on_jump;  ///< from jumps at the six nodes, filling less tooth, to forces on the filling
  };
  const AssemblyMap& order_;
  std::vector<Facet> facets_;
  std::vector<int> facet_at_;  ///< by facet of the bond: place in facets_, or -1
  const std::vector<char>& decoupled_;
};

}  // namespace setstress
