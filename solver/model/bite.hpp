#pragma once
// Bites on the finished filling, and the fluid that gaps of the bond may hold while they act. Quasi-static:
// no fatigue, no friction in closed cracks, no slide of the opposing tooth. Units: mm, N, s, MPa.

#include <Eigen/Core>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "materials/tissue.hpp"

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

/// An incompressible fluid in gaps that are enclosed, from the first bite on.
struct GapFluid {
  /// Volume that leaves through the wall, by Substrate, over area, time and pressure [mm/(s MPa)]; 0: none.
  std::array<double, all_substrates.size()> conductance{};
  double pulp_pressure = 0;    ///< against which it leaves [MPa]
  double filled = 1;           ///< share of each gap's volume that it fills at the first bite, in (0, 1]
  double lowest_pressure = 0;  ///< at which a gap may hold less fluid than volume [MPa], relative to outside
  bool operator==(const GapFluid&) const = default;
};

}  // namespace setstress
