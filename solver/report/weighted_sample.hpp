#pragma once
// Mean and percentiles of values that each stand for a share of an area or a volume.

#include <vector>

namespace setstress {

struct WeightedValue {
  double value;
  double weight;  ///< >= 0
};

/// Weighted mean; NaN for no weight at all.
[[nodiscard]] double weighted_mean(const std::vector<WeightedValue>& sample);

/// Smallest value that at least `share` (in (0, 1]) of the weight does not exceed; NaN for no weight at all.
/// `sorted` must be in rising order of value, as sort_by_value leaves it.
[[nodiscard]] double weighted_percentile(const std::vector<WeightedValue>& sorted, double share);

void sort_by_value(std::vector<WeightedValue>& sample);

}  // namespace setstress
