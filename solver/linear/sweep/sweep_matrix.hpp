#pragma once
// The matrix as the two-level solver reads it: renumbered, half stored, for short vectors.

#include <cstdint>
#include <vector>

#include "solver/linear/matrix/block_matrix.hpp"
#include "solver/linear/sweep/short_vector.hpp"
#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Some couplings of each row, by places.
struct SweepRows {
  std::vector<std::uint32_t> start{0};        ///< by row: first coupling
  std::vector<std::uint32_t> column, source;  ///< by coupling: place, and position in BlockMatrix::values
  void add(std::uint32_t column_place, std::uint32_t source_position);
  void end_row() { start.push_back(static_cast<std::uint32_t>(column.size())); }
  [[nodiscard]] std::size_t bytes() const;
};

/// Memory traffic is what limits these solvers. So a coupling inside a part is stored once, in the row of its
/// later node, and used for both nodes while it is in cache. Couplings between parts are stored in both rows,
/// so that threads only write to nodes of their own part.
struct SweepPattern {
  SweepRows inside;                     ///< same part, column < row
  SweepRows before;                     ///< other parts, column < row
  SweepRows after;                      ///< other parts, column > row
  std::vector<std::uint32_t> diagonal;  ///< position of each diagonal block in BlockMatrix::values
  SweepPattern(const NodeGraph& graph, const SweepOrder& order);
  [[nodiscard]] std::size_t bytes() const;
};

/// Values of SweepRows in single precision: 9 numbers a block, row by row. A row of a block is read as a
/// short vector of 4, whose last entry belongs to whatever follows: it meets the zero in the fourth place of
/// a node, or lands there.
class SweepValues {
 public:
  void assign(const SweepRows& rows, const BlockMatrix& matrix);
  /// Blocks of the row times x; the fourth entry means nothing.
  [[nodiscard]] ShortVector gather(const SweepRows& rows, std::size_t row, const float* x) const;
  /// The same, reading the row backwards: for sweeps in reverse order, so that memory is read in one
  /// direction.
  [[nodiscard]] ShortVector gather_backwards(const SweepRows& rows, std::size_t row, const float* x) const;
  /// y at the row's columns += transposed blocks times x_row; their fourth entries become meaningless.
  void scatter(const SweepRows& rows, std::size_t row, ShortVector x_row, float* y) const;
  [[nodiscard]] const float* block(std::uint32_t coupling) const {
    return value_.data() + 9 * static_cast<std::size_t>(coupling);
  }
  [[nodiscard]] std::size_t bytes() const { return value_.size() * sizeof(float); }

 private:
  std::vector<float> value_;
};

inline ShortVector SweepValues::gather(const SweepRows& rows, std::size_t row, const float* x) const {
  ShortVector sum_x{}, sum_y{}, sum_z{};
  const std::uint32_t* column = rows.column.data() + rows.start[row];
  const std::uint32_t* const last = rows.column.data() + rows.start[row + 1];
  for (const float* entries = block(rows.start[row]); column < last; ++column, entries += 9) {
    const ShortVector neighbour = load(x + stride * static_cast<std::size_t>(*column));
    sum_x += load(entries) * neighbour;
    sum_y += load(entries + 3) * neighbour;
    sum_z += load(entries + 6) * neighbour;
  }
  return sums(sum_x, sum_y, sum_z);
}

inline ShortVector SweepValues::gather_backwards(const SweepRows& rows, std::size_t row,
                                                 const float* x) const {
  ShortVector sum_x{}, sum_y{}, sum_z{};
  const std::uint32_t* const first = rows.column.data() + rows.start[row];
  const std::uint32_t* column = rows.column.data() + rows.start[row + 1];
  for (const float* entries = block(rows.start[row + 1]); column > first;) {
    entries -= 9;
    const ShortVector neighbour = load(x + stride * static_cast<std::size_t>(*--column));
    sum_z += load(entries + 6) * neighbour;
    sum_y += load(entries + 3) * neighbour;
    sum_x += load(entries) * neighbour;
  }
  return sums(sum_x, sum_y, sum_z);
}

inline void SweepValues::scatter(const SweepRows& rows, std::size_t row, ShortVector x_row, float* y) const {
  const ShortVector first = spread<0>(x_row), second = spread<1>(x_row), third = spread<2>(x_row);
  const std::uint32_t* column = rows.column.data() + rows.start[row];
  const std::uint32_t* const last = rows.column.data() + rows.start[row + 1];
  for (const float* entries = block(rows.start[row]); column < last; ++column, entries += 9) {
    float* const target = y + stride * static_cast<std::size_t>(*column);
    store(load(target) + (load(entries) * first + load(entries + 3) * second + load(entries + 6) * third),
          target);
  }
}

}  // namespace setstress
