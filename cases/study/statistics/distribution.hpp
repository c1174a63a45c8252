#pragma once
// How an output is spread over the runs of a study.

#include <vector>

namespace setstress {

/// Quantile of `values` (any order) at `share` in [0, 1], straight lines between the sorted values (type 7 of
/// Hyndman and Fan 1996, Am Stat 50:361-365). Throws std::invalid_argument when there is none.
double quantile(std::vector<double> values, double share);

/// Share of runs that lie above a value, with a band that holds the whole curve of the distribution drawn
/// from with 95 % confidence.
struct ExceedancePoint {
  double value;      ///< of the output
  double share;      ///< of the runs whose output is above `value` [-]
  double low, high;  ///< band [-]
};

/// One point for every value that occurs, in rising order. The band is that of Dvoretzky, Kiefer and
/// Wolfowitz with the constant of Massart 1990, Ann Probab 18:1269-1283: it holds for independent draws, so
/// not for runs on a grid. Throws std::invalid_argument when there is no value.
std::vector<ExceedancePoint> exceedance_curve(std::vector<double> values);

/// Positions of the points that no other point beats: none is at least as low in both and lower in one.
/// Sorted by `first`; of equal points all stay. Points with a NaN are never among them. Throws
/// std::invalid_argument for different lengths.
std::vector<std::size_t> pareto_front(const std::vector<double>& first, const std::vector<double>& second);

}  // namespace setstress
