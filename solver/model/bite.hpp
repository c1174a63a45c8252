#pragma once
// Bites on the finished filling. Quasi-static: no fatigue, no friction in closed cracks, no slide of the
// opposing tooth. Units: mm, N, s, MPa.

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

namespace setstress {

/// A force that an opposing tooth lays on a round patch of an outer surface: it rises over `ramp`, is held,
/// and falls over `unload`, `cycles` times, with pauses between.
struct Bite {
  std::string surface;
  /// Of the patch, seen from occlusal: x, y [mm]; empty: the middle of what of the surface faces occlusal.
  std::optional<Eigen::Vector2d> centre;
  double radius;              ///< of the patch [mm]
  double force;               ///< [N]
  Eigen::Vector3d direction;  ///< in which it pushes, unit vector
  double start;               ///< [s] since the bond was cured
  double ramp, hold, unload;  ///< [s]
  double pause = 0;           ///< between cycles [s]
  int cycles = 1;

  [[nodiscard]] double cycle() const { return ramp + hold + unload + pause; }
  [[nodiscard]] double end() const { return start + cycles * cycle() - pause; }
  /// Share of the force that acts at `time` [-].
  [[nodiscard]] double share_at(double time) const;
  bool operator==(const Bite&) const = default;
};

/// One part of a bite: a ramp, a hold, an unloading or a pause.
struct BiteStage {
  double start, end;  ///< [s]
  std::string label;  ///< what begins at `start`: "bite 1 on", "bite 1 full", ...
};
/// Parts that last at all, in order; the last, with start = end, is where it is off for good. `number` counts
/// bites from 1.
std::vector<BiteStage> stages_of(const Bite& bite, int number);

}  // namespace setstress
