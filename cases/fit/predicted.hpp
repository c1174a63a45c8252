#pragma once
// What a curve would read if the laws of a material held.

#include <vector>

#include "cases/fit/measurements.hpp"

namespace setstress {

/// By datum of the curve, in its unit: of the composite, or of the bond where the material has one.
std::vector<double> predicted(const FittedMaterial& material, const MeasuredCurve& curve);

/// Points see light through their depth of composite. Stress: a bar with
/// free sides or a bonded disc, cured alike throughout, which pulls at a frame that yields; its chains are
/// those of the solver.
std::vector<double> predicted(const Composite& composite, const MeasuredCurve& curve);

}  // namespace setstress
