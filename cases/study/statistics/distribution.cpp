#include "cases/study/statistics/distribution.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace setstress {

double quantile(std::vector<double> values, double share) {
  if (values.empty()) throw std::invalid_argument("quantile: there are no values");
  std::sort(values.begin(), values.end());
  const double position = share * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(position);
  const std::size_t above = std::min(below + 1, values.size() - 1);
  return values[below] + (position - static_cast<double>(below)) * (values[above] - values[below]);
}

std::vector<ExceedancePoint> exceedance_curve(std::vector<double> values) {
  if (values.empty()) throw std::invalid_argument("probability curve: there are no values");
  std::sort(values.begin(), values.end());
  const auto count = static_cast<double>(values.size());
  const double half_band = std::sqrt(std::log(2 / 0.05) / (2 * count));
  std::vector<ExceedancePoint> curve;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i + 1 < values.size() && values[i + 1] == values[i]) continue;
    const double share = static_cast<double>(values.size() - 1 - i) / count;
    curve.push_back({values[i], share, std::max(0.0, share - half_band), std::min(1.0, share + half_band)});
  }
  return curve;
}

std::vector<std::size_t> pareto_front(const std::vector<double>& first, const std::vector<double>& second) {
  if (first.size() != second.size())
    throw std::invalid_argument("Pareto front: the two outputs differ in length");
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < first.size(); ++i)
    if (!std::isnan(first[i]) && !std::isnan(second[i])) order.push_back(i);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return first[a] != first[b] ? first[a] < first[b] : second[a] < second[b];
  });
  std::vector<std::size_t> front;
  for (const std::size_t i : order) {
    const bool lower = front.empty() || second[i] < second[front.back()];
    const bool equal = !front.empty() && first[i] == first[front.back()] && second[i] == second[front.back()];
    if (lower || equal) front.push_back(i);
  }
  return front;
}

}  // namespace setstress
