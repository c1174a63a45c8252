#pragma once
// How much of the variance of an output each uncertain input is answerable for: Sobol indices.

#include <cstdint>
#include <span>
#include <vector>

namespace setstress {

/// One output at the points of a design for Sobol indices. A and B are two independent samples of all inputs;
/// AB_i is A with input i taken from B. Position j of each vector belongs to the same base point; NaN where
/// the run failed or was never made.
struct IndexSample {
  std::vector<double> a, b;              ///< by base point
  std::vector<std::vector<double>> a_b;  ///< by input, then base point
};

/// A value with its 95 % confidence interval.
struct Estimate {
  double value, low, high;
};

struct SobolIndices {
  std::vector<Estimate> first;  ///< by input: share of the variance that it explains alone [-]
  std::vector<Estimate> total;  ///< by input: share that it takes part in [-]
  int base_points = 0;          ///< used
  int dropped = 0;              ///< base points left out because a value of theirs is missing
};

/// First-order indices as Saltelli et al. 2010, Comput Phys Commun 181:259-270, table 2 b; total indices by
/// the estimator of Jansen 1999, Comput Phys Commun 117:35-43 (table 2 f there). Intervals are percentiles of
/// `resamples` bootstrap samples of base points, drawn from `seed`: the same input gives the same output.
/// Estimates from few points may lie below 0 or above 1; they are not clipped. Throws std::invalid_argument
/// for vectors of different lengths, fewer than two whole base points, and an output that does not vary.
SobolIndices sobol_indices(const IndexSample& sample, int resamples = 1000, std::uint64_t seed = 1);

}  // namespace setstress
