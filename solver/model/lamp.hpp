#pragma once
// What a lamp loses on its way from its tip to the body.

#include <Eigen/Core>
#include <optional>
#include <utility>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress {

/// Share of the irradiance at the tip that is left at a distance: linear between points.
struct KeptLight {
  std::vector<std::pair<double, double>> points;  ///< distance [mm], from 0 and rising; share [-], not rising
  bool keeps_last = false;                        ///< beyond the last point; otherwise that is not known
  /// Throws std::out_of_range beyond the last point where the share there is not known.
  [[nodiscard]] double at(double distance) const;
  bool operator==(const KeptLight&) const = default;
};

/// Where the tip is, and what that costs.
struct LampTip {
  KeptLight kept;
  double gap = 0;  ///< from the tip to the outermost point of the body along the light [mm]; for light from
                   ///< occlusal on a tooth that is the occlusal plane
  std::optional<double> distance = {};  ///< instead: from the tip to all that is lit [mm]
  /// Distance [mm] to a point that lies `inside` [mm] farther along the light than the outermost one.
  [[nodiscard]] double to(double inside) const { return distance ? *distance : gap + inside; }
  bool operator==(const LampTip&) const = default;
};

/// Least coordinate [mm] of the mesh's nodes along `direction`: where parallel light meets the body first.
double outermost_along(const Mesh& mesh, const Eigen::Vector3d& direction);

}  // namespace setstress
