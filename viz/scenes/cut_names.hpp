#pragma once
// Private to viz/: the names of sides and of tissues on a cut.

#include <functional>

#include "viz/drawing/drawing.hpp"
#include "viz/surface/plane_cut.hpp"

namespace setstress::viz {

/// `place`: where a corner of the cut lies on the page. Each tissue and increment is named where it is
/// widest, unless that is narrower than the letters are high; the sides are named where the body is a tooth.
void add_cut_names(Drawing& drawing, const Box& box, const VolumeCells& volume, const PlaneCut& cut,
                   const std::function<FlatPoint(const CutCorner&)>& place, double pixel);

}  // namespace setstress::viz
