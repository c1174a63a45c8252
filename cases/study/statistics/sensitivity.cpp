#include "cases/study/statistics/sensitivity.hpp"

#include <cmath>
#include <random>
#include <stdexcept>

#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

constexpr double below = 0.025, above = 0.975;  // percentiles of a 95 % interval [-]

void require_same_lengths(const IndexSample& sample) {
  if (sample.a.size() != sample.b.size() || sample.a_b.empty())
    throw std::invalid_argument("Sobol indices: the samples A and B differ in length, or no input varies");
  for (const std::vector<double>& values : sample.a_b)
    if (values.size() != sample.a.size())
      throw std::invalid_argument("Sobol indices: a sample AB_i differs in length from A");
}

/// The base points at which every value is there.
std::vector<std::size_t> whole_points(const IndexSample& sample) {
  std::vector<std::size_t> points;
  for (std::size_t j = 0; j < sample.a.size(); ++j) {
    bool whole = std::isfinite(sample.a[j]) && std::isfinite(sample.b[j]);
    for (const std::vector<double>& values : sample.a_b) whole = whole && std::isfinite(values[j]);
    if (whole) points.push_back(j);
  }
  return points;
}

struct Pair {
  double first, total;
};

/// Mean and variance of A and B together.
struct Moments {
  double mean, variance;
};
Moments moments(const IndexSample& sample, std::span<const std::size_t> points) {
  const double count = 2.0 * static_cast<double>(points.size());
  double mean = 0, variance = 0;
  for (const std::size_t j : points) mean += (sample.a[j] + sample.b[j]) / count;
  for (const std::size_t j : points)
    variance += ((sample.a[j] - mean) * (sample.a[j] - mean) + (sample.b[j] - mean) * (sample.b[j] - mean)) /
                (count - 1);
  return {mean, variance};
}

/// Indices of every input from the base points `points`, which may repeat.
std::vector<Pair> indices_at(const IndexSample& sample, std::span<const std::size_t> points) {
  const Moments all = moments(sample, points);
  const double share = 1.0 / (static_cast<double>(points.size()) * all.variance);
  std::vector<Pair> indices;
  for (const std::vector<double>& a_b : sample.a_b) {
    Pair sum{0, 0};
    for (const std::size_t j : points) {
      sum.first += share * (sample.b[j] - all.mean) * (a_b[j] - sample.a[j]);
      sum.total += 0.5 * share * (sample.a[j] - a_b[j]) * (sample.a[j] - a_b[j]);
    }
    indices.push_back(sum);
  }
  return indices;
}

/// A whole number in [0, count), alike on every platform.
std::size_t drawn_below(std::size_t count, std::mt19937_64& generator) {
  const double unit = static_cast<double>(generator() >> 11U) * 0x1.0p-53;
  return static_cast<std::size_t>(unit * static_cast<double>(count));
}

}  // namespace

SobolIndices sobol_indices(const IndexSample& sample, int resamples, std::uint64_t seed) {
  require_same_lengths(sample);
  const std::vector<std::size_t> points = whole_points(sample);
  if (points.size() < 2)
    throw std::invalid_argument("Sobol indices: fewer than two base points have all their values");
  if (!(moments(sample, points).variance > 0))
    throw std::invalid_argument("Sobol indices: the output is the same at every point");
  const std::size_t inputs = sample.a_b.size();
  std::vector<std::vector<double>> first(inputs), total(inputs);
  std::mt19937_64 generator(seed);
  std::vector<std::size_t> drawn(points.size());
  for (int r = 0; r < resamples; ++r) {
    for (std::size_t& j : drawn) j = points[drawn_below(points.size(), generator)];
    if (!(moments(sample, drawn).variance > 0)) continue;  // only copies of one point
    const std::vector<Pair> indices = indices_at(sample, drawn);
    for (std::size_t i = 0; i < inputs; ++i) {
      first[i].push_back(indices[i].first);
      total[i].push_back(indices[i].total);
    }
  }
  SobolIndices result;
  const std::vector<Pair> indices = indices_at(sample, points);
  for (std::size_t i = 0; i < inputs; ++i) {
    result.first.push_back({indices[i].first, quantile(first[i], below), quantile(first[i], above)});
    result.total.push_back({indices[i].total, quantile(total[i], below), quantile(total[i], above)});
  }
  result.base_points = static_cast<int>(points.size());
  result.dropped = static_cast<int>(sample.a.size() - points.size());
  return result;
}

}  // namespace setstress
