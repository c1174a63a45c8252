#pragma once
// Private to viz/charts: what stands inside the axes: cells, bands, bars, series and rules.

#include "viz/charts/chart.hpp"
#include "viz/charts/chart_pen.hpp"
#include "viz/charts/chart_scale.hpp"

namespace setstress {

/// Where the axes lie [px].
struct ChartFrame {
  ChartScale x, y;
  double top, bottom;
};

/// All of it, cells below and rules on top.
void draw_marks(ChartPen& pen, const Chart& chart, const ChartFrame& frame);

}  // namespace setstress
