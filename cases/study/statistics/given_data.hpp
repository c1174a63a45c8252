#pragma once
// How much of the variance of an output each factor is answerable for alone, from runs of any design.

#include <cstdint>
#include <optional>
#include <vector>

#include "cases/study/statistics/effects.hpp"
#include "cases/study/statistics/sensitivity.hpp"

namespace setstress {

struct VarianceShare {
  /// Share of the variance of the output that goes with the factor [-], with its 95 % interval, in [0, 1].
  Estimate share{0, 0, 0};
  int classes = 0;  ///< into which its values were put
};

/// Fewest runs with a value from which shares are estimated.
inline constexpr int fewest_for_shares = 16;

/// First-order shares from given data: runs are put into classes by the values of one factor, and the
/// variance between the means of classes is set against the whole (Plischke, Borgonovo and Smith 2013, Eur J
/// Oper Res 226:536-550). Words are classes of their own; numbers of more than 16 values, or of fewer than 8
/// runs each, are cut into classes of as equal a number of runs as ties allow. The chance part of the
/// variance between classes is taken off (epsilon squared: Kelley 1935, Proc Natl Acad Sci 21:554-559).
/// Intervals are percentiles of `resamples` bootstrap samples of runs, drawn from `seed`, less the same
/// chance part. Cutting numbers into classes loses what happens within one, so shares are rather too low.
/// Factors that go together in the runs, as where combinations are left out, share what either does.
///
/// One share a factor, in their order; `output` by run, NaN where there is none. `draw`, by run, where
/// several runs have one draw of all factors but those crossed with it: a factor that is the same in all runs
/// of every draw is judged by the means of draws, and the bootstrap takes whole draws; draws of which a run
/// has no value are left out. Empty `draw`: every run has its own. The result is empty for fewer than
/// `fewest_for_shares` draws with their values and where the output does not vary.
std::vector<VarianceShare> variance_shares(const std::vector<FactorColumn>& factors,
                                           const std::vector<double>& output,
                                           const std::vector<int>& draw = {}, int resamples = 1000,
                                           std::uint64_t seed = 1);

/// The same of a whole grid, every combination of values once: exact for its values, all taken as equally
/// likely; the intervals are of no width. Empty where the output does not vary.
std::vector<VarianceShare> shares_of_whole_grid(const std::vector<FactorColumn>& factors,
                                                const std::vector<double>& output);

/// Share of the variance that goes with two factors together, classes of one crossed with at most `most` each
/// of the other; less the chance part; NaN where too few runs, or cells of one run each, cannot tell.
double share_of_pair(const FactorColumn& a, const FactorColumn& b, const std::vector<double>& output,
                     std::size_t most);

}  // namespace setstress
