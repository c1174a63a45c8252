#include "viz/surface/flatten.hpp"

#include <Eigen/Geometry>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr int most_rounds = 200;
constexpr double settled = 1e-9;  ///< [mm]

/// A triangle laid in its own plane, and the cotangents of the angles opposite to its sides 01, 12, 20.
struct RigidTriangle {
  std::array<Vector2d, 3> corner;
  std::array<double, 3> cotangent;
};

RigidTriangle lay_down(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  RigidTriangle triangle;
  const Vector3d along = (b - a).normalized();
  const double x = along.dot(c - a), y = along.cross(c - a).norm();
  triangle.corner = {Vector2d(0, 0), Vector2d((b - a).norm(), 0), Vector2d(x, y)};
  for (std::size_t side = 0; side < 3; ++side) {
    const Vector2d& apex = triangle.corner[(side + 2) % 3];
    const Vector2d u = triangle.corner[side] - apex, v = triangle.corner[(side + 1) % 3] - apex;
    triangle.cotangent[side] = u.dot(v) / std::abs(u.x() * v.y() - u.y() * v.x());
  }
  return triangle;
}

/// The turn that brings a triangle nearest to where its corners are now.
Eigen::Rotation2Dd nearest_turn(const RigidTriangle& rigid, const std::array<Vector2d, 3>& now) {
  double dot = 0, cross = 0;
  for (std::size_t side = 0; side < 3; ++side) {
    const Vector2d own = rigid.corner[(side + 1) % 3] - rigid.corner[side],
                   other = now[(side + 1) % 3] - now[side];
    dot += rigid.cotangent[side] * own.dot(other);
    cross += rigid.cotangent[side] * (own.x() * other.y() - own.y() * other.x());
  }
  return Eigen::Rotation2Dd(std::atan2(cross, dot));
}

Eigen::SparseMatrix<double> laplacian(const Patch& patch, const std::vector<RigidTriangle>& rigid) {
  std::vector<Eigen::Triplet<double>> entries;
  for (std::size_t t = 0; t < rigid.size(); ++t)
    for (std::size_t side = 0; side < 3; ++side) {
      const int a = patch.triangles[t][side], b = patch.triangles[t][(side + 1) % 3];
      const double weight = rigid[t].cotangent[side];
      entries.insert(entries.end(), {{a, a, weight}, {b, b, weight}, {a, b, -weight}, {b, a, -weight}});
    }
  entries.emplace_back(0, 0, 1.0);  // holds the first corner: the whole may otherwise drift
  const auto size = static_cast<Eigen::Index>(patch.position.size());
  Eigen::SparseMatrix<double> matrix(size, size);
  matrix.setFromTriplets(entries.begin(), entries.end());
  return matrix;
}

std::array<Vector2d, 3> corners_of(const Patch& patch, std::size_t t, const std::vector<Vector2d>& flat) {
  const auto at = [&](std::size_t c) { return flat[static_cast<std::size_t>(patch.triangles[t][c])]; };
  return {at(0), at(1), at(2)};
}

bool turned_over(const std::array<Vector2d, 3>& corner) {
  const Vector2d a = corner[1] - corner[0], b = corner[2] - corner[0];
  return a.x() * b.y() - a.y() * b.x() <= 0;
}

}  // namespace

std::optional<std::vector<Vector2d>> flatten(const Patch& patch, std::vector<Vector2d> flat) {
  std::vector<RigidTriangle> rigid;
  for (const auto& triangle : patch.triangles) {
    const auto at = [&](std::size_t c) { return patch.position[static_cast<std::size_t>(triangle[c])]; };
    rigid.push_back(lay_down(at(0), at(1), at(2)));
  }
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> solver(laplacian(patch, rigid));
  if (solver.info() != Eigen::Success) return std::nullopt;
  double moved = 1;
  for (int round = 0; round < most_rounds && moved > settled; ++round) {
    Eigen::MatrixXd right = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(flat.size()), 2);
    right.row(0) = flat[0].transpose();
    for (std::size_t t = 0; t < rigid.size(); ++t) {
      const Eigen::Rotation2Dd turn = nearest_turn(rigid[t], corners_of(patch, t, flat));
      for (std::size_t side = 0; side < 3; ++side) {
        const Vector2d edge = rigid[t].corner[side] - rigid[t].corner[(side + 1) % 3];
        const Vector2d pull = rigid[t].cotangent[side] * (turn * edge);
        right.row(patch.triangles[t][side]) += pull.transpose();
        right.row(patch.triangles[t][(side + 1) % 3]) -= pull.transpose();
      }
    }
    const Eigen::MatrixXd next = solver.solve(right);
    moved = 0;
    for (std::size_t p = 0; p < flat.size(); ++p) {
      const Vector2d place = next.row(static_cast<Eigen::Index>(p)).transpose();
      moved = std::max(moved, (place - flat[p]).norm());
      flat[p] = place;
    }
  }
  for (std::size_t t = 0; t < rigid.size(); ++t)
    if (turned_over(corners_of(patch, t, flat))) return std::nullopt;
  return flat;
}

}  // namespace setstress::viz
