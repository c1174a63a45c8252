#include "solver/element/bond_element.hpp"

#include <Eigen/Geometry>

namespace setstress {

Eigen::Matrix<double, 6, 1> triangle_shapes(const std::array<double, 3>& l) {
  Eigen::Matrix<double, 6, 1> shapes;
  shapes << l[0] * (2 * l[0] - 1), l[1] * (2 * l[1] - 1), l[2] * (2 * l[2] - 1), 4 * l[0] * l[1],
      4 * l[1] * l[2], 4 * l[2] * l[0];
  return shapes;
}

FacetGeometry geometry_of(const Mesh& mesh, const SixNodes& facet) {
  const AreaAndNormal flat = area_and_normal(mesh, facet);
  FacetGeometry geometry;
  geometry.area = flat.area;
  // The first tangent lies as near to the x axis as the plane allows (y where the normal is along x): a
  // choice that depends on the facet's plane alone, not on its node order.
  Eigen::Vector3d towards = Eigen::Vector3d::UnitX();
  if (std::abs(flat.normal.x()) > 0.9) towards = Eigen::Vector3d::UnitY();
  const Eigen::Vector3d tangent = (towards - towards.dot(flat.normal) * flat.normal).normalized();
  geometry.to_local.row(0) = flat.normal;
  geometry.to_local.row(1) = tangent;
  geometry.to_local.row(2) = flat.normal.cross(tangent);
  return geometry;
}

Eigen::Vector3d jump(const BondFacet& facet, const FacetGeometry& geometry, int point,
                     const Eigen::VectorXd& displacement) {
  const auto shapes = triangle_shapes(facet_points()[static_cast<std::size_t>(point)].barycentric);
  Eigen::Vector3d global = Eigen::Vector3d::Zero();
  for (int i = 0; i < 6; ++i) {
    const auto node = static_cast<std::size_t>(i);
    global += shapes(i) * (displacement.segment<3>(3 * facet.filling[node]) -
                           displacement.segment<3>(3 * facet.tooth[node]));
  }
  return geometry.to_local * global;
}

Matrix36d stiffness(const FacetGeometry& geometry, const std::array<Eigen::Matrix3d, 6>& tangents) {
  Matrix36d k = Matrix36d::Zero();
  for (int point = 0; point < 6; ++point) {
    const FacetPoint& p = facet_points()[static_cast<std::size_t>(point)];
    const auto shapes = triangle_shapes(p.barycentric);
    const Eigen::Matrix3d global = geometry.to_local.transpose() * tangents[static_cast<std::size_t>(point)] *
                                   geometry.to_local * (p.weight * geometry.area);
    for (int a = 0; a < 6; ++a)
      for (int b = 0; b < 6; ++b) k.block<3, 3>(18 + 3 * a, 18 + 3 * b) += shapes(a) * shapes(b) * global;
  }
  k.topLeftCorner<18, 18>() = k.bottomRightCorner<18, 18>();
  k.topRightCorner<18, 18>() = -k.bottomRightCorner<18, 18>();
  k.bottomLeftCorner<18, 18>() = -k.bottomRightCorner<18, 18>();
  return k;
}

Eigen::Matrix<double, 3, 6> nodal_forces(const FacetGeometry& geometry,
                                         const std::array<Eigen::Vector3d, 6>& tractions) {
  Eigen::Matrix<double, 3, 6> forces = Eigen::Matrix<double, 3, 6>::Zero();
  for (int point = 0; point < 6; ++point) {
    const FacetPoint& p = facet_points()[static_cast<std::size_t>(point)];
    forces += geometry.to_local.transpose() * tractions[static_cast<std::size_t>(point)] *
              (p.weight * geometry.area) * triangle_shapes(p.barycentric).transpose();
  }
  return forces;
}

}  // namespace setstress
