#include "cases/study/design/sampling.hpp"

#include <fmt/format.h>

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/sobol.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <numeric>
#include <stdexcept>

namespace setstress {

namespace {

/// In (0, 1), never 0 nor 1: the middle of one of 2^52 slices.
double unit_number(boost::random::mt19937_64& generator) {
  return (static_cast<double>(generator() >> 12U) + 0.5) * 0x1p-52;
}

UnitPoints points_of(int count, int dimensions) {
  return UnitPoints(static_cast<std::size_t>(count),
                    std::vector<double>(static_cast<std::size_t>(dimensions)));
}

}  // namespace

UnitPoints sobol_points(int count, int dimensions) {
  constexpr int most = 3667;
  if (dimensions < 1 || dimensions > most)
    throw std::invalid_argument(
        fmt::format("Sobol sequence: {} dimensions; must be between 1 and {}", dimensions, most));
  boost::random::sobol sequence(static_cast<std::size_t>(dimensions));
  UnitPoints points = points_of(count, dimensions);
  for (auto& point : points)
    for (double& coordinate : point) coordinate = std::ldexp(static_cast<double>(sequence()), -64);
  return points;
}

UnitPoints latin_hypercube(int count, int dimensions, std::uint64_t seed) {
  boost::random::mt19937_64 generator(seed);
  UnitPoints points = points_of(count, dimensions);
  std::vector<std::size_t> slices(points.size());
  for (std::size_t d = 0; d < static_cast<std::size_t>(dimensions); ++d) {
    std::iota(slices.begin(), slices.end(), 0U);
    for (std::size_t i = slices.size(); i > 1; --i)  // Fisher and Yates
      std::swap(slices[i - 1],
                slices[boost::random::uniform_int_distribution<std::size_t>(0, i - 1)(generator)]);
    for (std::size_t p = 0; p < points.size(); ++p)
      points[p][d] = (static_cast<double>(slices[p]) + unit_number(generator)) / static_cast<double>(count);
  }
  return points;
}

UnitPoints random_points(int count, int dimensions, std::uint64_t seed) {
  boost::random::mt19937_64 generator(seed);
  UnitPoints points = points_of(count, dimensions);
  for (auto& point : points)
    for (double& coordinate : point) coordinate = unit_number(generator);
  return points;
}

}  // namespace setstress
