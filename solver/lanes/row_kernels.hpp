#pragma once
// What is done row by row: half-sweeps, products with what lanes share, ways to the coarse level and back.

#include <cstdint>

#include "solver/lanes/lane.hpp"

namespace setstress {

/// Threads of a GPU that share the couplings of one row. A color takes as long as its longest row, which has
/// five times as many as most.
inline constexpr int row_parts = 4;

/// Pointers into a LaneRows and its values.
struct RowsView {
  const std::int32_t *start, *later, *column;
  const float* value;    ///< 9 a coupling
  const float* inverse;  ///< 9 a row: of the diagonal block
};

/// sum - couplings from `first` to `last` times z.
template <typename At>
SETSTRESS_LANE_CODE Three<typename At::Lane> less_couplings(const RowsView& rows, std::int32_t first,
                                                            std::int32_t last, At at, const float* z,
                                                            Three<typename At::Lane> sum) {
  sum = at.begun(sum);
  for (std::int32_t k = first + at.part(); k < last; k += At::every) {
    const Three<typename At::Lane> v = load_three(at, z, rows.column[k]);
    const float* const a = rows.value + 9 * static_cast<std::size_t>(k);
    sum.x = sum.x - a[0] * v.x;
    sum.y = sum.y - a[3] * v.x;
    sum.z = sum.z - a[6] * v.x;
    sum.x = sum.x - a[1] * v.y;
    sum.y = sum.y - a[4] * v.y;
    sum.z = sum.z - a[7] * v.y;
    sum.x = sum.x - a[2] * v.z;
    sum.y = sum.y - a[5] * v.z;
    sum.z = sum.z - a[8] * v.z;
  }
  return at.joined(sum);
}

/// Half-sweep forwards from z = 0: rows before this one are done.
struct ForwardSweep {
  static constexpr int widest = 32, parts = row_parts;
  RowsView rows;
  const float* r;
  float* z;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int row, At at) const {
    const auto sum = less_couplings(rows, rows.start[row], rows.later[row], at, z, load_three(at, r, row));
    store_three(at, times(rows.inverse + 9 * row, sum), z, row);
  }
};

/// What a half-sweep forwards leaves, r - A z.
struct LeftByForward {
  static constexpr int widest = 32, parts = row_parts;
  RowsView rows;
  const float* z;
  float* left;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int row, At at) const {
    const Three<typename At::Lane> none{at.zero(), at.zero(), at.zero()};
    store_three(at, less_couplings(rows, rows.later[row], rows.start[row + 1], at, z, none), left, row);
  }
};

/// Half-sweep backwards: rows after this one are done. shares: r . z by row.
struct BackwardSweep {
  static constexpr int widest = 32, parts = row_parts;
  RowsView rows;
  const float* r;
  float *z, *shares;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int row, At at) const {
    const auto right = load_three(at, r, row);
    const auto found = times(rows.inverse + 9 * row,
                             less_couplings(rows, rows.start[row], rows.start[row + 1], at, z, right));
    store_three(at, found, z, row);
    at.store(right.x * found.x + right.y * found.y + right.z * found.z, shares,
             static_cast<std::size_t>(row));
  }
};

/// product = - A p, for rows whose couplings to themselves are among the others.
struct SharedProduct {
  static constexpr int widest = 32, parts = row_parts;
  RowsView rows;
  const float* p;
  float* product;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int row, At at) const {
    const Three<typename At::Lane> none{at.zero(), at.zero(), at.zero()};
    store_three(at, less_couplings(rows, rows.start[row], rows.start[row + 1], at, p, none), product, row);
  }
};

/// Weighted sums into what is free: from nodes to the coarse level, or back, added to what is there.
struct Transfer {
  static constexpr int widest = 32, parts = 1;
  const std::int32_t *start, *other;
  const float *weight, *free;   ///< free: 1 or 0 by component of a node [-]
  const std::int32_t* node_of;  ///< a corner's own node; null: sums go to nodes
  const float* from;
  float* to;
  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int i, At at) const {
    Three<typename At::Lane> sum{at.zero(), at.zero(), at.zero()};
    for (std::int32_t k = start[i]; k < start[i + 1]; ++k) sum += weight[k] * load_three(at, from, other[k]);
    const float* const kept = free + 3 * (node_of != nullptr ? node_of[i] : i);
    sum = {kept[0] * sum.x, kept[1] * sum.y, kept[2] * sum.z};
    if (node_of != nullptr)
      store_three(at, sum, to, i);
    else
      add_three(at, sum, to, i);
  }
};

}  // namespace setstress
