#include "viz/charts/chart_scale.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double air = 0.05;  // share of the range left free beyond the data [-]

/// Ends of everything seen so far.
class Extent {
 public:
  void see(double value) {
    if (!std::isfinite(value)) throw std::invalid_argument("a chart holds a value that is not finite");
    low_ = std::min(low_, value);
    high_ = std::max(high_, value);
  }
  [[nodiscard]] ChartRange range(const ChartAxis& axis) const {
    if (!axis.words.empty()) return {-0.5, static_cast<double>(axis.words.size()) - 0.5};
    if (!(low_ <= high_)) throw std::invalid_argument("a chart without anything to draw");
    const double extent = high_ > low_ ? high_ - low_ : std::max(1e-9, std::abs(high_));
    ChartRange range{axis.low.value_or(low_ - air * extent), axis.high.value_or(high_ + air * extent)};
    if (!(range.high > range.low)) range.high = range.low + std::max(1.0, std::abs(range.low));
    return range;
  }

 private:
  double low_ = std::numeric_limits<double>::infinity(), high_ = -low_;
};

bool lies(const ChartBand& band) {
  return band.shape == ChartBand::Shape::lying_whiskers;
}

}  // namespace

ChartRange x_range(const Chart& chart) {
  Extent extent;
  for (const ChartSeries& series : chart.series)
    for (const ChartPoint& point : series.points) extent.see(point.x);
  for (const ChartBand& band : chart.bands)
    for (const ChartInterval& interval : band.intervals) {
      extent.see(lies(band) ? interval.low : interval.at);
      extent.see(lies(band) ? interval.high : interval.at);
    }
  for (const ChartBar& bar : chart.bars) extent.see(bar.from), extent.see(bar.to);
  if (!chart.cells.empty()) {
    ChartRange cells{chart.cells.front().x_low, chart.cells.front().x_high};
    for (const ChartCell& cell : chart.cells)
      cells = {std::min(cells.low, cell.x_low), std::max(cells.high, cell.x_high)};
    return cells;
  }
  for (const ChartRule& rule : chart.rules)
    if (rule.upright) extent.see(rule.at);
  return extent.range(chart.x);
}

ChartRange y_range(const Chart& chart) {
  Extent extent;
  for (const ChartSeries& series : chart.series)
    for (const ChartPoint& point : series.points) extent.see(point.y);
  for (const ChartBand& band : chart.bands)
    for (const ChartInterval& interval : band.intervals) {
      extent.see(lies(band) ? interval.at : interval.low);
      extent.see(lies(band) ? interval.at : interval.high);
    }
  for (const ChartBar& bar : chart.bars) extent.see(bar.row);
  if (!chart.cells.empty()) {
    ChartRange cells{chart.cells.front().y_low, chart.cells.front().y_high};
    for (const ChartCell& cell : chart.cells)
      cells = {std::min(cells.low, cell.y_low), std::max(cells.high, cell.y_high)};
    return cells;
  }
  for (const ChartRule& rule : chart.rules)
    if (!rule.upright) extent.see(rule.at);
  return extent.range(chart.y);
}

std::vector<double> round_ticks(double low, double high, int wanted) {
  const double rough = (high - low) / wanted;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  const double lead = rough / power;
  const double step = power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
  std::vector<double> ticks;
  for (double k = std::ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; ++k)
    ticks.push_back(k == 0 ? 0.0 : k * step);
  return ticks;
}

}  // namespace setstress
