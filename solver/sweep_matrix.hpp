#pragma once
// The matrix as the two-level solver reads it: renumbered, half stored, for short vectors.

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "solver/block_matrix.hpp"
#include "solver/sweep_order.hpp"

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
  using Four = Eigen::Array4f;

  /// The three sums of a row, still spread over short vectors.
  struct RowSum {
    Four x = Four::Zero(), y = Four::Zero(), z = Four::Zero();
    [[nodiscard]] Eigen::Vector3f total() const { return {x.sum(), y.sum(), z.sum()}; }
  };

  void assign(const SweepRows& rows, const BlockMatrix& matrix);
  /// sum + blocks of the row times x.
  [[nodiscard]] RowSum gather(const SweepRows& rows, std::size_t row, const float* x, RowSum sum) const;
  /// The same, reading the row backwards: for sweeps in reverse order, so that memory is read in one
  /// direction.
  [[nodiscard]] RowSum gather_backwards(const SweepRows& rows, std::size_t row, const float* x,
                                        RowSum sum) const;
  /// y at the row's columns += transposed blocks times x_row; their fourth entries become meaningless.
  void scatter(const SweepRows& rows, std::size_t row, const Eigen::Vector3f& x_row, float* y) const;
  [[nodiscard]] const float* block(std::uint32_t coupling) const {
    return value_.data() + 9 * static_cast<std::size_t>(coupling);
  }
  [[nodiscard]] std::size_t bytes() const { return value_.size() * sizeof(float); }

 private:
  std::vector<float> value_;
};

inline SweepValues::RowSum SweepValues::gather(const SweepRows& rows, std::size_t row, const float* x,
                                               RowSum sum) const {
  const std::uint32_t last = rows.start[row + 1];
  const float* entries = block(rows.start[row]);
  for (std::uint32_t k = rows.start[row]; k < last; ++k, entries += 9) {
    const Eigen::Map<const Four> neighbour(x + stride * static_cast<std::size_t>(rows.column[k]));
    sum.x += Eigen::Map<const Four>(entries) * neighbour;
    sum.y += Eigen::Map<const Four>(entries + 3) * neighbour;
    sum.z += Eigen::Map<const Four>(entries + 6) * neighbour;
  }
  return sum;
}

inline SweepValues::RowSum SweepValues::gather_backwards(const SweepRows& rows, std::size_t row,
                                                         const float* x, RowSum sum) const {
  const std::uint32_t first = rows.start[row];
  for (std::uint32_t k = rows.start[row + 1]; k-- > first;) {
    const float* entries = block(k);
    const Eigen::Map<const Four> neighbour(x + stride * static_cast<std::size_t>(rows.column[k]));
    sum.z += Eigen::Map<const Four>(entries + 6) * neighbour;
    sum.y += Eigen::Map<const Four>(entries + 3) * neighbour;
    sum.x += Eigen::Map<const Four>(entries) * neighbour;
  }
  return sum;
}

inline void SweepValues::scatter(const SweepRows& rows, std::size_t row, const Eigen::Vector3f& x_row,
                                 float* y) const {
  const std::uint32_t last = rows.start[row + 1];
  const float* entries = block(rows.start[row]);
  for (std::uint32_t k = rows.start[row]; k < last; ++k, entries += 9) {
    Eigen::Map<Four> target(y + stride * static_cast<std::size_t>(rows.column[k]));
    target += Eigen::Map<const Four>(entries) * x_row(0) + Eigen::Map<const Four>(entries + 3) * x_row(1) +
              Eigen::Map<const Four>(entries + 6) * x_row(2);
  }
}

}  // namespace setstress
