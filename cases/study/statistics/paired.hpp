#pragma once
// Two numbers a draw, one a plan: how often the second is the lower, by how much, and what decides.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace setstress {

/// A share of draws and the 95 % confidence interval of the probability behind it.
struct Share {
  double value, low, high;
};
/// `successes` of `trials` independent draws; halves count draws that are undecided. The interval is that of
/// Clopper and Pearson 1934, Biometrika 26:404-413: it covers in at least 95 % of repeats. Throws
/// std::invalid_argument for no trials or more successes than trials.
Share share_of(double successes, int trials);

struct PairedOdds {
  int draws = 0;                        ///< with both numbers
  int lower = 0, same = 0;              ///< in which the second is lower, exactly alike
  Share second_lower{0.5, 0, 1};        ///< alike counts half
  double median = 0, p05 = 0, p95 = 0;  ///< of second minus first, over the draws
};
/// `differences`, second minus first, by draw; NaN where there is none. Throws std::invalid_argument where
/// all are NaN.
PairedOdds odds_of(const std::vector<double>& differences);

/// How the order of an input goes with the order of the differences.
struct RankCorrelation {
  double value, low, high;  ///< Spearman's, with its 95 % interval
};
/// By draw; those with a NaN difference are left out. The interval is that of Fisher's z with the variance of
/// Fieller, Hartley and Pearson 1957, Biometrika 44:470-481. Empty for fewer than `fewest_for_ranks` draws or
/// where either never changes.
std::optional<RankCorrelation> rank_correlation(const std::vector<double>& input,
                                                const std::vector<double>& differences);
inline constexpr int fewest_for_ranks = 16;

/// One limit of one input that tells best which plan is lower.
struct Cut {
  std::size_t input;        ///< position
  double at;                ///< limit, between two draws
  bool second_lower_below;  ///< the second plan is lower where the input is below the limit
  double right;             ///< share of the draws that it tells right [-]
  double without;           ///< share told right without it, by naming the plan that is lower more often [-]
};
/// `inputs` by input, then draw. Empty where no cut tells more than 95 % of `shuffles` cuts of shuffled signs
/// do (from `seed`: the same input, the same answer), or for fewer than `fewest_for_ranks` decided draws.
std::optional<Cut> best_cut(const std::vector<std::vector<double>>& inputs,
                            const std::vector<double>& differences, int shuffles = 200,
                            std::uint64_t seed = 1);

}  // namespace setstress
