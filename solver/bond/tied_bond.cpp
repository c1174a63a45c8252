#include "solver/bond/tied_bond.hpp"

#include <algorithm>

#include "solver/bond/bond_layer.hpp"

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

}  // namespace

void add_tied_bond(const Model& model, const std::vector<char>& placed,
                   const std::vector<std::array<Vector6d, 4>>& stress, double time,
                   std::vector<std::array<BondPoint, 6>>& points) {
  const WholeBondToday today(model, time);
  for (std::size_t i = 0; i < model.mesh.bond.size(); ++i) {
    const BondFacet& facet = model.mesh.bond[i];
    if (facet.tooth != facet.filling) continue;
    const auto member = static_cast<std::size_t>(facet.filling_tetrahedron);
    const Tetrahedron& tetrahedron = model.mesh.tetrahedra[member];
    if (!placed[static_cast<std::size_t>(tetrahedron.region)]) continue;
    const FacetGeometry geometry = geometry_of(model.mesh, facet.tooth);
    const double maturity = model.adhesive.strength_maturity.at(model.substrates[i])(time);
    for (std::size_t p = 0; p < 6; ++p) {
      const Vector6d s =
          stress_at(stress[member], in_tetrahedron(tetrahedron, facet.tooth, facet_points()[p].barycentric));
      const Eigen::Vector3d normal = geometry.to_local.row(0).transpose();
      points[i][p] = bond_point(geometry.to_local * traction_on(s, normal), geometry, today.at(i), maturity);
    }
  }
}

}  // namespace setstress
