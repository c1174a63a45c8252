#pragma once
// Combinations of a few vectors that may be nearly parallel.

#include <Eigen/Core>

namespace setstress {

/// Of up to 8 vectors; rows and columns of those that are not there are zero.
using Gram = Eigen::Matrix<double, 8, 8>;
using GramColumn = Eigen::Matrix<double, 8, 1>;

/// The shares c with gram * c = products, scaled to vectors of length 1; what is below `least` of their
/// length there is taken for round-off and left out.
[[nodiscard]] GramColumn shares_in(const Gram& gram, const GramColumn& products, double least);

}  // namespace setstress
