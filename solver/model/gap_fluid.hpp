#pragma once
// An incompressible fluid in gaps that are enclosed. Left out: flow inside a gap, which is instant; how air
// gives way or comes out of solution. Units: mm, s, MPa.

#include <array>

#include "materials/tissue.hpp"

namespace setstress {

struct GapFluid {
  /// Volume that leaves through the wall, by Substrate, over area, time and pressure [mm/(s MPa)]; 0: none.
  std::array<double, all_substrates.size()> conductance{};
  double pulp_pressure = 0;     ///< against which it leaves [MPa]
  double from = 0;              ///< instant from which gaps hold it [s]
  double filled = 1;            ///< share of its volume that it fills as a gap becomes enclosed, in [0, 1]
  double air_leaves_until = 0;  ///< instant up to which a gap that fluid fills loses the air it held [s]
  /// A gap that holds air is at outside pressure at least, one without at this [MPa, relative to outside]:
  /// where it is reached, fluid may fill less than the gap.
  double lowest_pressure = -0.1;
  double way_opening = 1e-3;  ///< from which a way to the margin lets it out freely [mm]
  bool operator==(const GapFluid&) const = default;
};

}  // namespace setstress
