#include "viz/files/facet_fit.hpp"

#include <Eigen/Core>
#include <Eigen/LU>
#include <algorithm>

#include "solver/model/frame.hpp"

namespace setstress::viz {
namespace {

using Fit = Eigen::Matrix<double, 3, 6>;  ///< from point values to corner values

/// (B^T W B)^-1 B^T W with the points' barycentric coordinates as rows of B and their weights in W.
Fit least_squares_fit() {
  Eigen::Matrix<double, 6, 3> coordinates;
  Eigen::Matrix<double, 6, 1> weights;
  for (Eigen::Index p = 0; p < 6; ++p) {
    const FacetPoint& point = facet_points()[static_cast<std::size_t>(p)];
    coordinates.row(p) = Eigen::RowVector3d::Map(point.barycentric.data());
    weights(p) = point.weight;
  }
  const Eigen::Matrix<double, 3, 6> weighted = coordinates.transpose() * weights.asDiagonal();
  return (weighted * coordinates).inverse() * weighted;
}

}  // namespace

std::array<double, 6> at_nodes(const std::array<double, 6>& at_facet_points) {
  static const Fit fit = least_squares_fit();
  const Eigen::Vector3d corner = fit * Eigen::Matrix<double, 6, 1>::Map(at_facet_points.data());
  const auto [low, high] = std::ranges::minmax(at_facet_points);
  std::array<double, 6> nodes{corner(0),
                              corner(1),
                              corner(2),
                              (corner(0) + corner(1)) / 2,
                              (corner(1) + corner(2)) / 2,
                              (corner(2) + corner(0)) / 2};
  for (double& value : nodes) value = std::clamp(value, low, high);
  return nodes;
}

}  // namespace setstress::viz
