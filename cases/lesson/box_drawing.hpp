#pragma once
// The tooth and its box as a drawing with names: what the lesson's words point at.

#include <string>

#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// Two sections to scale as one SVG, in a figure: across the box, buccal to lingual, and along it. Of a
/// proximal box without step; throws std::invalid_argument for others.
std::string box_drawing(const ToothCase& tooth);

}  // namespace setstress
