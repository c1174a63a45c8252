#include "cases/wait/wait_curve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double first_minute = 60;      // [s]; waits grow apart as strength does, with log(1 + t / 1 min)
constexpr double rise_of_range = 0.01;   // worth saying: share of the whole range of values [-],
constexpr double rise_of_value = 0.005;  // and of the highest value, so that a flat curve stays flat [-]

/// Tries a wait and files it where it belongs; whether it could be solved.
bool tried(const ValueAt& value, double wait, WaitCurve& curve) {
  const std::optional<double> found = value(wait);
  if (!found) {
    curve.failed.push_back(wait);
    return false;
  }
  const auto place = std::lower_bound(curve.points.begin(), curve.points.end(), wait,
                                      [](const WaitPoint& point, double w) { return point.wait < w; });
  curve.points.insert(place, {wait, *found});
  return true;
}

/// Position of the first wait that meets the limit; the number of points when none does.
std::size_t first_met(const WaitCurve& curve, double limit) {
  const auto met = std::find_if(curve.points.begin(), curve.points.end(),
                                [limit](const WaitPoint& point) { return point.value < limit; });
  return static_cast<std::size_t>(met - curve.points.begin());
}

/// Halves the interval in front of the first wait that meets the limit.
void refine(const ValueAt& value, double limit, double within, WaitCurve& curve) {
  while (true) {
    const std::size_t met = first_met(curve, limit);
    if (met == 0 || met == curve.points.size()) return;
    const double below = curve.points[met - 1].wait, above = curve.points[met].wait;
    if (above - below <= within) return;
    const double middle = std::round((below + above) / 2);
    if (middle <= below || middle >= above || !tried(value, middle, curve)) return;
  }
}

std::optional<Rise> largest_rise(const std::vector<WaitPoint>& points) {
  if (points.empty()) return {};
  const auto by_value = [](const WaitPoint& a, const WaitPoint& b) { return a.value < b.value; };
  const auto [low, high] = std::minmax_element(points.begin(), points.end(), by_value);
  const double worth_saying =
      std::max(rise_of_range * (high->value - low->value), rise_of_value * high->value);
  WaitPoint lowest = points.front();
  std::optional<Rise> largest;
  for (const WaitPoint& point : points) {
    const double rise = point.value - lowest.value;
    if (rise > worth_saying && (!largest || rise > largest->to.value - largest->from.value))
      largest = Rise{lowest, point};
    if (point.value < lowest.value) lowest = point;
  }
  return largest;
}

}  // namespace

double WaitCurve::value_at(double wait) const {
  for (const WaitPoint& point : points)
    if (point.wait == wait) return point.value;
  throw std::out_of_range(fmt::format("a wait of {} s was not tried", wait));
}

WaitPoint WaitCurve::best() const {
  if (points.empty()) throw std::out_of_range("no wait could be solved");
  return *std::min_element(points.begin(), points.end(),
                           [](const WaitPoint& a, const WaitPoint& b) { return a.value < b.value; });
}

std::vector<double> coarse_waits(const WaitRange& range) {
  if (range.points < 2 || !(range.longest > 0))
    throw std::invalid_argument("waits: at least two points and a longest wait above 0 are needed");
  std::vector<double> waits;
  for (int i = 0; i < range.points; ++i) {
    const double share = static_cast<double>(i) / (range.points - 1);
    const double wait = first_minute * (std::pow(1 + range.longest / first_minute, share) - 1);
    const double whole = i + 1 == range.points ? range.longest : std::round(wait);
    if (waits.empty() || whole > waits.back()) waits.push_back(whole);
  }
  return waits;
}

WaitCurve trace_waits(const ValueAt& value, double limit, const WaitRange& range) {
  WaitCurve curve;
  try {
    for (const double wait : coarse_waits(range)) (void)tried(value, wait, curve);
    refine(value, limit, range.within, curve);
  } catch (const WaitStopped&) {
    curve.stopped = true;
  }
  const std::size_t met = first_met(curve, limit);
  if (met < curve.points.size()) {
    curve.shortest = curve.points[met].wait;
    if (met > 0) curve.too_short = curve.points[met - 1].wait;
    for (std::size_t i = met; i < curve.points.size(); ++i)
      if (!(curve.points[i].value < limit)) curve.lost_again.push_back(curve.points[i].wait);
  }
  curve.rise = largest_rise(curve.points);
  return curve;
}

}  // namespace setstress
