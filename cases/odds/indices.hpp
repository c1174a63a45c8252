#pragma once
// How much of the variance of a difference each input is answerable for, from the draws that there are.
//
// The draws of odds are independent; a design for Sobol indices would take as many runs again for every
// input. So the difference is first fitted by functions that are orthonormal under what the inputs are drawn
// from (a polynomial chaos: of one input up to second degree, or of two inputs together). They are chosen one
// by one, always the one that goes best with what is left, and as few as predict left-out draws best; the
// error of leaving one out is raised for few draws as by Chapelle, Vapnik and Bengio 2002, Mach Learn 48:9
// (from memory). Variances of orthonormal functions add up, so that indices are sums of squares (Sudret 2008,
// Reliab Eng Syst Saf 93:964, from memory). They mean something only where the fit predicts: elsewhere there
// are none.

#include <cstdint>
#include <optional>
#include <vector>

#include "cases/library/spreads.hpp"

namespace setstress {

/// Share of a variance with its 95 % confidence interval [-].
struct VarianceShare {
  double value, low, high;
};

struct InputIndices {
  std::vector<VarianceShare> first;  ///< by input: share of the variance that it explains alone [-]
  std::vector<VarianceShare> total;  ///< by input: share that it takes part in [-]
  double predicted;                  ///< share of the variance of draws left out that the fit predicts [-]
  int draws;                         ///< used
};

inline constexpr int fewest_for_indices = 64;   ///< draws with both numbers
inline constexpr double least_predicted = 0.8;  ///< of the variance

/// `spreads` by input; `values` by draw, then input, as drawn from them; `differences` by draw, NaN where
/// there is none. Intervals are percentiles of `resamples` bootstrap samples of draws for the functions
/// chosen, from `seed`: the same input, the same answer. Empty for fewer than `fewest_for_indices` draws, for
/// a difference that does not vary, and where less than `least_predicted` is predicted.
std::optional<InputIndices> input_indices(const std::vector<Spread>& spreads,
                                          const std::vector<std::vector<double>>& values,
                                          const std::vector<double>& differences, int resamples = 200,
                                          std::uint64_t seed = 1);

}  // namespace setstress
