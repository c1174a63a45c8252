#include "solver/element/tetrahedron.hpp"

#include <fmt/format.h>

#include <Eigen/LU>
#include <stdexcept>

namespace setstress {
namespace {

/// Corner pairs of the edge nodes 4..9.
constexpr std::array<std::array<int, 2>, 6> edges{{{0, 1}, {1, 2}, {2, 0}, {0, 3}, {1, 3}, {2, 3}}};

/// Adds a stress point to the upper half of a stiffness; Lame's constants times the volume of the point.
void add_point(const ShapeGradients& g, double lame, double shear, Matrix30d& k) {
  for (int b = 0; b < 10; ++b)
    for (int a = 0; a <= b; ++a) {
      auto block = k.block<3, 3>(3 * a, 3 * b);
      block.noalias() += lame * g.col(a) * g.col(b).transpose() + shear * g.col(b) * g.col(a).transpose();
      block.diagonal().array() += shear * g.col(a).dot(g.col(b));
    }
}

}  // namespace

TetrahedronGeometry geometry_of(const Mesh& mesh, const Tetrahedron& tetrahedron) {
  Eigen::Matrix4d corners;  // rows: 1, x, y, z
  for (int i = 0; i < 4; ++i) {
    corners(0, i) = 1.0;
    corners.block<3, 1>(1, i) =
        mesh.nodes[static_cast<std::size_t>(tetrahedron.nodes[static_cast<std::size_t>(i)])];
  }
  const double volume = corners.determinant() / 6.0;
  if (!(volume > 0.0))
    throw std::runtime_error(
        fmt::format("a tetrahedron of region '{}' near ({:.3f}, {:.3f}, {:.3f}) mm has volume {:.3g} mm3; "
                    "must be positive",
                    mesh.regions[static_cast<std::size_t>(tetrahedron.region)].name, corners(1, 0),
                    corners(2, 0), corners(3, 0), volume));
  const Eigen::Matrix4d inverse = corners.inverse();  // row i: coefficients of barycentric coordinate i
  return {.barycentric_gradients = inverse.rightCols<3>().transpose(), .volume = volume};
}

Eigen::Vector4d stress_point(int point) {
  Eigen::Vector4d barycentric = Eigen::Vector4d::Constant(stress_point_far);
  barycentric(point) = stress_point_near;
  return barycentric;
}

Eigen::Matrix<double, 10, 1> shape_values(const Eigen::Vector4d& barycentric) {
  Eigen::Matrix<double, 10, 1> values;
  for (int i = 0; i < 4; ++i) values(i) = barycentric(i) * (2.0 * barycentric(i) - 1.0);
  for (int e = 0; e < 6; ++e) {
    const auto [i, j] = edges[static_cast<std::size_t>(e)];
    values(4 + e) = 4.0 * barycentric(i) * barycentric(j);
  }
  return values;
}

ShapeGradients shape_gradients(const TetrahedronGeometry& geometry, const Eigen::Vector4d& barycentric) {
  const auto& gradient = geometry.barycentric_gradients;
  ShapeGradients gradients;
  for (int i = 0; i < 4; ++i) gradients.col(i) = (4.0 * barycentric(i) - 1.0) * gradient.col(i);
  for (int e = 0; e < 6; ++e) {
    const auto [i, j] = edges[static_cast<std::size_t>(e)];
    gradients.col(4 + e) = 4.0 * (barycentric(i) * gradient.col(j) + barycentric(j) * gradient.col(i));
  }
  return gradients;
}

Vector6d strain(const ShapeGradients& gradients, const Eigen::Matrix<double, 3, 10>& displacement) {
  const Eigen::Matrix3d h = displacement * gradients.transpose();  // displacement gradient
  Vector6d result;
  result << h(0, 0), h(1, 1), h(2, 2), h(1, 2) + h(2, 1), h(0, 2) + h(2, 0), h(0, 1) + h(1, 0);
  return result;
}

Vector6d elastic_stress(double youngs_modulus, double poisson_ratio, const Vector6d& strain) {
  const double shear = youngs_modulus / (2.0 * (1.0 + poisson_ratio));
  const double lame = youngs_modulus * poisson_ratio / ((1.0 + poisson_ratio) * (1.0 - 2.0 * poisson_ratio));
  const double trace = strain(0) + strain(1) + strain(2);
  Vector6d stress;
  stress.head<3>() = 2.0 * shear * strain.head<3>() + Eigen::Vector3d::Constant(lame * trace);
  stress.tail<3>() = shear * strain.tail<3>();
  return stress;
}

Vector6d elastic_strain(double youngs_modulus, double poisson_ratio, const Vector6d& stress) {
  const double trace = stress(0) + stress(1) + stress(2);
  Vector6d result;
  result.head<3>() =
      ((1.0 + poisson_ratio) * stress.head<3>() - Eigen::Vector3d::Constant(poisson_ratio * trace)) /
      youngs_modulus;
  result.tail<3>() = 2.0 * (1.0 + poisson_ratio) / youngs_modulus * stress.tail<3>();
  return result;
}

Matrix30d stiffness(const TetrahedronGeometry& geometry, const std::array<double, 4>& youngs_modulus,
                    double poisson_ratio) {
  const double shear_share = 1.0 / (2.0 * (1.0 + poisson_ratio));
  const double lame_share = poisson_ratio / ((1.0 + poisson_ratio) * (1.0 - 2.0 * poisson_ratio));
  Matrix30d k = Matrix30d::Zero();
  for (int point = 0; point < 4; ++point) {
    const ShapeGradients g = shape_gradients(geometry, stress_point(point));
    const double weight = 0.25 * geometry.volume * youngs_modulus[static_cast<std::size_t>(point)];
    add_point(g, weight * lame_share, weight * shear_share, k);
  }
  k.triangularView<Eigen::StrictlyLower>() = k.transpose();
  return k;
}

Matrix30d stiffness(const TetrahedronGeometry& geometry, const std::array<double, 4>& shear_modulus,
                    const std::array<double, 4>& bulk_modulus, double bulk_modulus_of_mean) {
  Matrix30d k = Matrix30d::Zero();
  for (std::size_t point = 0; point < 4; ++point) {
    const double volume = 0.25 * geometry.volume;
    const double lame = bulk_modulus[point] - 2.0 / 3.0 * shear_modulus[point];
    add_point(shape_gradients(geometry, stress_point(static_cast<int>(point))), volume * lame,
              volume * shear_modulus[point], k);
  }
  // Gradients are linear: those of the middle are the mean of those of the stress points.
  const ShapeGradients middle = shape_gradients(geometry, Eigen::Vector4d::Constant(0.25));
  const Eigen::Map<const Vector30d> change(middle.data());  // of volume, by displacement
  k.triangularView<Eigen::Upper>() += geometry.volume * bulk_modulus_of_mean * change * change.transpose();
  k.triangularView<Eigen::StrictlyLower>() = k.transpose();
  return k;
}

Eigen::Matrix<double, 3, 10> nodal_forces(const TetrahedronGeometry& geometry,
                                          const std::array<Vector6d, 4>& stress) {
  Eigen::Matrix<double, 3, 10> forces = Eigen::Matrix<double, 3, 10>::Zero();
  for (int point = 0; point < 4; ++point) {
    const Vector6d& s = stress[static_cast<std::size_t>(point)];
    Eigen::Matrix3d tensor;
    tensor << s(0), s(5), s(4), s(5), s(1), s(3), s(4), s(3), s(2);
    forces.noalias() += 0.25 * geometry.volume * tensor * shape_gradients(geometry, stress_point(point));
  }
  return forces;
}

Eigen::Matrix<double, 3, 10> gather(const Tetrahedron& tetrahedron, const Eigen::VectorXd& global) {
  Eigen::Matrix<double, 3, 10> local;
  for (int i = 0; i < 10; ++i)
    local.col(i) = global.segment<3>(3 * tetrahedron.nodes[static_cast<std::size_t>(i)]);
  return local;
}

}  // namespace setstress
