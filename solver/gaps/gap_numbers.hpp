#pragma once
// Gaps followed over time. A bond that has let go never holds again, so each gap of one instant lies within
// one gap of the next: it grows, or merges with others under the number of the one that was largest.

#include <optional>
#include <vector>

#include "solver/gaps/gap_finder.hpp"

namespace setstress {

/// What has happened to a gap.
struct GapRecord {
  int number = 0;                    ///< from 1, in the order of appearance
  double appeared = 0;               ///< instant at which it was first there [s]
  std::optional<int> merged_into;    ///< number of the gap that it is part of
  double merged_at = 0;              ///< [s]; of a gap that has merged
  std::optional<double> open_since;  ///< since when it has been open to the margin without break [s]; empty:
                                     ///< enclosed, or merged
};

struct NumberedGap {
  int number;
  Gap gap;
};

/// Numbers the gaps of a run, instant by instant in order.
class GapNumbers {
 public:
  /// The gaps of `frame_time` [s], as GapFinder::of gives them, rising by number.
  [[nodiscard]] std::vector<NumberedGap> follow(double frame_time, std::vector<Gap> gaps);
  /// By number, from 1, of all gaps so far.
  [[nodiscard]] const std::vector<GapRecord>& records() const { return records_; }
  /// By facet point at the last instant, 0 where there is no gap; as long as up to the last point in one.
  [[nodiscard]] const std::vector<int>& number_at() const { return number_at_; }

 private:
  int number_of(double time, const Gap& gap);

  std::vector<GapRecord> records_;
  std::vector<double> last_area_;  ///< by number - 1, at the last instant [mm2]
  std::vector<int> number_at_;     ///< by facet point, at the last instant; 0: none
};

}  // namespace setstress
