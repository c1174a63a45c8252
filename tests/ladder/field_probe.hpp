#pragma once
// Displacements and stresses at places of a volume read back from its file.

#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

#include "solver/model/frame.hpp"
#include "viz/files/result_reader.hpp"

namespace setstress::testing {

/// Elastic constants of a region, and the strain it would take by itself at a point [-].
struct Elasticity {
  double youngs_modulus, poisson_ratio;
  std::function<double(const Eigen::Vector3d&)> free_strain = [](const Eigen::Vector3d&) { return 0.0; };
};

class FieldProbe {
 public:
  explicit FieldProbe(VolumeCells volume);

  /// Displacement [mm] of the node nearest to `point`, of `region` unless empty.
  [[nodiscard]] Eigen::Vector3d displacement(const Eigen::Vector3d& point,
                                             const std::string& region = "") const;
  /// Stress [MPa] at the corner node of `region` nearest to `point`: from the displacements of every
  /// tetrahedron of the region that meets there, averaged by volume.
  [[nodiscard]] Vector6d stress(const Eigen::Vector3d& point, const std::string& region,
                                const Elasticity& elasticity) const;
  /// The node nearest to `point`.
  [[nodiscard]] Eigen::Vector3d nearest(const Eigen::Vector3d& point, const std::string& region = "") const;
  /// Mean stress of every tetrahedron of `region` as written [MPa], one row each.
  [[nodiscard]] std::vector<Vector6d> cell_stresses(const std::string& region = "") const;
  [[nodiscard]] const VolumeCells& cells() const { return volume_; }

 private:
  [[nodiscard]] bool in_region(std::size_t tetrahedron, const std::string& region) const;
  [[nodiscard]] int nearest_node(const Eigen::Vector3d& point, const std::string& region, int of_each) const;

  VolumeCells volume_;
};

}  // namespace setstress::testing
