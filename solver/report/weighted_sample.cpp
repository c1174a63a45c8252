#include "solver/report/weighted_sample.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

namespace setstress {

namespace {
constexpr double of_nothing = std::numeric_limits<double>::quiet_NaN();

double total_weight(const std::vector<WeightedValue>& sample) {
  double total = 0;
  for (const WeightedValue& item : sample) total += item.weight;
  return total;
}
}  // namespace

double weighted_mean(const std::vector<WeightedValue>& sample) {
  const double total = total_weight(sample);
  if (!(total > 0)) return of_nothing;
  double sum = 0;
  for (const WeightedValue& item : sample) sum += item.weight * item.value;
  return sum / total;
}

double weighted_percentile(const std::vector<WeightedValue>& sorted, double share) {
  if (!(share > 0 && share <= 1)) throw std::invalid_argument("percentile share must lie in (0, 1]");
  const double total = total_weight(sorted);
  if (!(total > 0)) return of_nothing;
  constexpr double round_off = 1e-12;
  double reached = 0;
  for (const WeightedValue& item : sorted) {
    reached += item.weight;
    if (item.weight > 0 && reached >= (share - round_off) * total) return item.value;
  }
  return sorted.back().value;
}

void sort_by_value(std::vector<WeightedValue>& sample) {
  std::sort(sample.begin(), sample.end(),
            [](const WeightedValue& a, const WeightedValue& b) { return a.value < b.value; });
}

}  // namespace setstress
