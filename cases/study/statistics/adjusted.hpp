#pragma once
// Means at the levels of one factor, with what the other factors happened to be there taken out.

#include <optional>
#include <vector>

#include "cases/study/statistics/effects.hpp"

namespace setstress {

/// Means of `output` at `levels` of factor `f`, as if the other factors had been the same at each: least
/// squares of a sum of one constant a level and, of every other factor, a constant a word or a parabola of
/// its number (adjusted means: Searle, Speed and Milliken 1980, Am Stat 34:216-221). Where there are too few
/// runs for parabolas, straight lines. They agree with plain means where every level has met the same values
/// of the others. What factors do together is not taken out.
///
/// By level, NaN without a run that has a value. `output` by run, NaN where there is none. Empty where runs
/// are fewer than twice the constants, or other factors go together with this one so that nothing can be told
/// apart.
std::optional<std::vector<double>> adjusted_means(const std::vector<Level>& levels, std::size_t f,
                                                  const std::vector<FactorColumn>& factors,
                                                  const std::vector<double>& output);

}  // namespace setstress
