#include "solver/bond/tied_bond.hpp"

#include <algorithm>

#include "solver/bond/bond_layer.hpp"
#include "solver/bond/tied_balance.hpp"

namespace setstress {
namespace {

/// Barycentric coordinates in `tetrahedron` of a point of one of its faces.
Eigen::Vector4d in_tetrahedron(const Tetrahedron& tetrahedron, const SixNodes& facet,
                               const std::array<double, 3>& barycentric) {
  Eigen::Vector4d result = Eigen::Vector4d::Zero();
  for (std::size_t i = 0; i < 3; ++i) {
    const auto corner = std::find(tetrahedron.nodes.begin(), tetrahedron.nodes.begin() + 4, facet[i]);
    result(corner - tetrahedron.nodes.begin()) = barycentric[i];
  }
  return result;
}

/// The linear field through the values at the four stress points.
Vector6d stress_at(const std::array<Vector6d, 4>& stress, const Eigen::Vector4d& barycentric) {
  Vector6d result = Vector6d::Zero();
  for (int p = 0; p < 4; ++p)
    result += (barycentric(p) - stress_point_far) / (stress_point_near - stress_point_far) *
              stress[static_cast<std::size_t>(p)];
  return result;
}

Eigen::Vector3d traction_on(const Vector6d& s, const Eigen::Vector3d& normal) {
  Eigen::Matrix3d tensor;
  tensor << s(0), s(5), s(4), s(5), s(1), s(3), s(4), s(3), s(2);
  return tensor * normal;
}

/// Tractions at the facet's points as the element of the filling beside it says [MPa].
std::array<Eigen::Vector3d, 6> beside(const Model& model, const BondFacet& facet,
                                      const std::vector<std::array<Vector6d, 4>>& stress) {
  const auto member = static_cast<std::size_t>(facet.filling_tetrahedron);
  const Eigen::Vector3d normal = geometry_of(model.mesh, facet.tooth).to_local.row(0).transpose();
  std::array<Eigen::Vector3d, 6> tractions;
  for (std::size_t p = 0; p < 6; ++p) {
    const Eigen::Vector4d at =
        in_tetrahedron(model.mesh.tetrahedra[member], facet.tooth, facet_points()[p].barycentric);
    tractions[p] = traction_on(stress_at(stress[member], at), normal);
  }
  return tractions;
}

}  // namespace

void add_tied_bond(const Model& model, const std::vector<char>& placed,
                   const std::vector<std::array<Vector6d, 4>>& stress, double time,
                   std::vector<std::array<BondPoint, 6>>& points) {
  const std::vector<std::size_t> facets = tied_facets(model, placed);
  if (facets.empty()) return;
  std::vector<std::array<Eigen::Vector3d, 6>> tractions;
  for (const std::size_t i : facets) tractions.push_back(beside(model, model.mesh.bond[i], stress));
  balance_tied(model, placed, stress, facets, tractions);
  const WholeBondToday today(model, time);
  for (std::size_t f = 0; f < facets.size(); ++f) {
    const std::size_t i = facets[f];
    const FacetGeometry geometry = geometry_of(model.mesh, model.mesh.bond[i].tooth);
    const double maturity = model.adhesive.strength_maturity.at(model.substrates[i])(time);
    for (std::size_t p = 0; p < 6; ++p)
      points[i][p] = bond_point(geometry.to_local * tractions[f][p], geometry, today.at(i, p), maturity);
  }
}

}  // namespace setstress
