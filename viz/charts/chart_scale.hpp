#pragma once
// From numbers to places along an axis of a chart, and round numbers to label it with.

#include <vector>

#include "viz/charts/chart.hpp"

namespace setstress {

/// Straight scale from `low`..`high` of the data to `start`..`stop` of the drawing.
struct ChartScale {
  double low, high, start, stop;
  [[nodiscard]] double operator()(double value) const {
    return start + (value - low) / (high - low) * (stop - start);
  }
};

struct ChartRange {
  double low, high;
};

/// What the axes must hold: everything drawn, ends as given by the axis, some air otherwise; an axis of words
/// reaches half a position beyond its first and last. Throws std::invalid_argument for values that are not
/// finite, or nothing to draw.
ChartRange x_range(const Chart& chart);
ChartRange y_range(const Chart& chart);

/// Round numbers in [low, high], steps of 1, 2 or 5 times a power of ten, about `wanted` of them.
std::vector<double> round_ticks(double low, double high, int wanted);

}  // namespace setstress
