#pragma once
// How far light travels in each region on its way to every stress point of the filling.

#include <Eigen/Core>
#include <array>
#include <list>
#include <mutex>
#include <vector>

#include "mesh/tetrahedra/ray.hpp"

namespace setstress {

/// Tetrahedra of the filling, by mesh index.
std::vector<int> filling_tetrahedra(const Mesh& mesh);

/// Depends on the mesh alone, which must outlive it; walked once per direction. Safe to use from several
/// threads.
class LightPaths {
 public:
  explicit LightPaths(const Mesh& mesh);

  /// Lengths [mm] by region, by filling tetrahedron (see filling_tetrahedra) and stress point.
  using Lengths = std::vector<std::array<std::vector<double>, 4>>;
  /// From every point back towards a lamp that shines along `direction`; stays valid.
  [[nodiscard]] const Lengths& towards_lamp(const Eigen::Vector3d& direction) const;
  /// How far away [mm] each region is left for the last time on that way; 0 where it is not met.
  [[nodiscard]] const Lengths& ends_towards_lamp(const Eigen::Vector3d& direction) const;

 private:
  struct Walked {
    Eigen::Vector3d direction;
    Lengths lengths;
  };
  const Lengths& walked(std::list<Walked>& known, const Eigen::Vector3d& direction,
                        std::vector<double> RayPath::*part) const;
  const Mesh& mesh_;
  std::vector<int> filling_;
  RayWalker rays_;
  mutable std::mutex mutex_;
  mutable std::list<Walked> lengths_, ends_;
};

}  // namespace setstress
