#pragma once
// The shortest wait that brings a value below a limit, by trying waits: a coarse row of them first, then
// halving where the limit is first crossed.

#include <functional>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/wait/wall_limit.hpp"

namespace setstress {

struct WaitRange {
  double longest = 1800;  ///< wait that is tried [s]
  double within = 5;      ///< the answer is at most this much too long [s]
  int points = 9;         ///< waits of the coarse row, at least 2
};

/// The user asked to stop.
struct WaitStopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Value at a wait [s]; empty where that run failed. Throws WaitStopped.
using ValueAt = std::function<std::optional<double>(double wait)>;

struct WaitPoint {
  double wait;   ///< [s]
  double value;  ///< in the unit of the limited quantity
};

/// Where the value is larger after a longer wait.
struct Rise {
  WaitPoint from, to;
};

struct WaitCurve {
  std::vector<WaitPoint> points;   ///< tried, by wait
  std::vector<double> failed;      ///< waits whose run failed [s]
  std::optional<double> shortest;  ///< wait tried that meets the limit [s]; none: no wait tried does
  /// The longest wait tried before `shortest`; it does not meet the limit. Empty where none was needed.
  std::optional<double> too_short;
  /// Waits beyond `shortest` that do not meet the limit [s]: waiting longer may lose it again.
  std::vector<double> lost_again;
  /// The largest rise of the value over longer waits that is more than a hundredth of its whole range and
  /// half a per cent of its highest value; none: the curve does not rise as far as it was tried.
  std::optional<Rise> rise;
  bool stopped = false;  ///< before the search was through

  [[nodiscard]] double value_at(double wait) const;  ///< throws std::out_of_range when it was not tried
  [[nodiscard]] WaitPoint best() const;  ///< lowest value; throws std::out_of_range when all failed
};

/// Waits of the coarse row [s]: 0, then ever further apart up to `longest`, in whole seconds.
std::vector<double> coarse_waits(const WaitRange& range);

/// Tries waits until the crossing is known to within `range.within`, or the user asks to stop. Each wait is
/// asked for once. Other exceptions of `value` pass through.
WaitCurve trace_waits(const ValueAt& value, double limit, const WaitRange& range);

}  // namespace setstress
