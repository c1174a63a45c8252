#pragma once
// Vectors of conjugate gradients, a chunk of numbers at a time; inner products come as one sum a chunk, to be
// added in double precision.

#include "solver/lanes/lane.hpp"

namespace setstress {

/// Numbers whose products are summed in single precision.
inline constexpr int numbers_per_chunk = 192;

/// The numbers of one chunk.
struct Chunk {
  std::size_t first, last;
  SETSTRESS_LANE_CODE Chunk(int chunk, std::size_t count)
      : first(static_cast<std::size_t>(chunk) * numbers_per_chunk), last(first + numbers_per_chunk) {
    if (last > count) last = count;
  }
};

/// sum = all numbers of a chunk
struct Sum {
  static constexpr int widest = 32, parts = 1;
  std::size_t count;
  const float* numbers;
  float* sum;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int chunk, At at) const {
    const Chunk own(chunk, count);
    auto total = at.zero();
    for (std::size_t i = own.first; i < own.last; ++i) total = total + at.load(numbers, i);
    at.store(total, sum, static_cast<std::size_t>(chunk));
  }
};

/// p = z + kept p
struct Turn {
  static constexpr int widest = 32, parts = 1;
  std::size_t count;
  const float *z, *kept;
  float* p;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int chunk, At at) const {
    const Chunk numbers(chunk, count);
    const auto share = at.load(kept, 0);
    for (std::size_t i = numbers.first; i < numbers.last; ++i)
      at.store(at.load(z, i) + share * at.load(p, i), p, i);
  }
};

/// sum = p . A p, from product = - A p
struct Curvature {
  static constexpr int widest = 32, parts = 1;
  std::size_t count;
  const float *p, *product;
  float* sum;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int chunk, At at) const {
    const Chunk numbers(chunk, count);
    auto total = at.zero();
    for (std::size_t i = numbers.first; i < numbers.last; ++i)
      total = total - at.load(product, i) * at.load(p, i);
    at.store(total, sum, static_cast<std::size_t>(chunk));
  }
};

/// x += length p, r -= length A p where free, from product = - A p; sum = r . r
struct Advance {
  static constexpr int widest = 32, parts = 1;
  std::size_t count;
  const float *length, *free, *p, *product;
  float *x, *r, *sum;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int chunk, At at) const {
    const Chunk numbers(chunk, count);
    const auto far = at.load(length, 0);
    auto total = at.zero();
    for (std::size_t i = numbers.first; i < numbers.last; ++i) {
      at.store(at.load(x, i) + far * at.load(p, i), x, i);
      const auto left = at.load(r, i) + far * (free[i] * at.load(product, i));
      at.store(left, r, i);
      total = total + left * left;
    }
    at.store(total, sum, static_cast<std::size_t>(chunk));
  }
};

}  // namespace setstress
