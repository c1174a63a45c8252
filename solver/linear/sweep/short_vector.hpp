#pragma once
// A node's three numbers in single precision as one short vector of the processor, kept in a register from
// sum to product. Eigen would take three of four entries out and back in one by one.

#include <cstring>

namespace setstress {

/// The fourth entry is there for the processor's sake.
using ShortVector = float __attribute__((vector_size(16)));

inline ShortVector load(const float* from) {
  ShortVector v;
  std::memcpy(&v, from, sizeof(v));
  return v;
}

inline void store(ShortVector v, float* to) {
  std::memcpy(to, &v, sizeof(v));
}

/// One entry, in all places.
template <int entry>
inline ShortVector spread(ShortVector v) {
  return __builtin_shufflevector(v, v, entry, entry, entry, entry);
}

/// The sum over all entries of x, of y and of z, in this order; the fourth entry means nothing.
inline ShortVector sums(ShortVector x, ShortVector y, ShortVector z) {
  const ShortVector xy =
      __builtin_shufflevector(x, y, 0, 2, 4, 6) + __builtin_shufflevector(x, y, 1, 3, 5, 7);
  const ShortVector zz =
      __builtin_shufflevector(z, z, 0, 2, 0, 2) + __builtin_shufflevector(z, z, 1, 3, 1, 3);
  return __builtin_shufflevector(xy, zz, 0, 2, 4, 6) + __builtin_shufflevector(xy, zz, 1, 3, 5, 7);
}

}  // namespace setstress
