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

/// Values of SweepRows: 9 numbers a block, row by row. A row of a block is read as a short vector of 4, whose
/// last entry belongs to whatever follows: it meets the zero in the fourth place of a node, or lands there.
template <typename Scalar>
class SweepValues {
 public:
  using Four = Eigen::Array<Scalar, stride, 1>;
  using Vector3 = Eigen::Matrix<Scalar, 3, 1>;

  /// The three sums of a row, still spread over short vectors.
  struct RowSum {
    Four x = Four::Zero(), y = Four::Zero(), z = Four::Zero();
    [[nodiscard]] Vector3 total() const { return {x.sum(), y.sum(), z.sum()}; }
  };

  void assign(const SweepRows& rows, const BlockMatrix& matrix);
  /// sum + blocks of the row times x.
  [[nodiscard]] RowSum gather(const SweepRows& rows, std::size_t row, const Scalar* x, RowSum sum) const;
  /// The same, reading the row backwards: for sweeps in reverse order, so that memory is read in one
  /// direction.
  [[nodiscard]] RowSum gather_backwards(const SweepRows& rows, std::size_t row, const Scalar* x,
                                        RowSum sum) const;
  /// y at the row's columns += transposed blocks times x_row; their fourth entries become meaningless.
  void scatter(const SweepRows& rows, std::size_t row, const Vector3& x_row, Scalar* y) const;
  /// Asks for a row ahead of its turn: the processor foresees only reading that goes forward.
  void prefetch(const SweepRows& rows, std::size_t row) const {
    const auto* first = reinterpret_cast<const char*>(block(rows.start[row]));
    const auto* last = reinterpret_cast<const char*>(block(rows.start[row + 1]));
    for (; first < last; first += 64) __builtin_prefetch(first);
  }
  [[nodiscard]] const Scalar* block(std::uint32_t coupling) const {
    return value_.data() + 9 * static_cast<std::size_t>(coupling);
  }
  [[nodiscard]] std::size_t bytes() const { return value_.size() * sizeof(Scalar); }

 private:
  std::vector<Scalar> value_;
};

template <typename Scalar>
void SweepValues<Scalar>::assign(const SweepRows& rows, const BlockMatrix& matrix) {
  const auto count = static_cast<std::ptrdiff_t>(rows.source.size());
  value_.resize(9 * rows.source.size() + 1, Scalar{0});
#pragma omp parallel for schedule(static) if (count > 50000)
  for (std::ptrdiff_t k = 0; k < count; ++k) {
    const Block& block = matrix.values[rows.source[static_cast<std::size_t>(k)]];
    Scalar* out = value_.data() + 9 * k;
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) out[3 * i + j] = static_cast<Scalar>(block(i, j));
  }
}

template <typename Scalar>
inline typename SweepValues<Scalar>::RowSum SweepValues<Scalar>::gather(const SweepRows& rows,
                                                                        std::size_t row, const Scalar* x,
                                                                        RowSum sum) const {
  const std::uint32_t last = rows.start[row + 1];
  const Scalar* entries = block(rows.start[row]);
  for (std::uint32_t k = rows.start[row]; k < last; ++k, entries += 9) {
    const Eigen::Map<const Four> neighbour(x + stride * static_cast<std::size_t>(rows.column[k]));
    sum.x += Eigen::Map<const Four>(entries) * neighbour;
    sum.y += Eigen::Map<const Four>(entries + 3) * neighbour;
    sum.z += Eigen::Map<const Four>(entries + 6) * neighbour;
  }
  return sum;
}

template <typename Scalar>
inline typename SweepValues<Scalar>::RowSum SweepValues<Scalar>::gather_backwards(const SweepRows& rows,
                                                                                  std::size_t row,
                                                                                  const Scalar* x,
                                                                                  RowSum sum) const {
  const std::uint32_t first = rows.start[row];
  for (std::uint32_t k = rows.start[row + 1]; k-- > first;) {
    const Scalar* entries = block(k);
    const Eigen::Map<const Four> neighbour(x + stride * static_cast<std::size_t>(rows.column[k]));
    sum.z += Eigen::Map<const Four>(entries + 6) * neighbour;
    sum.y += Eigen::Map<const Four>(entries + 3) * neighbour;
    sum.x += Eigen::Map<const Four>(entries) * neighbour;
  }
  return sum;
}

template <typename Scalar>
inline void SweepValues<Scalar>::scatter(const SweepRows& rows, std::size_t row, const Vector3& x_row,
                                         Scalar* y) const {
  const std::uint32_t last = rows.start[row + 1];
  const Scalar* entries = block(rows.start[row]);
  for (std::uint32_t k = rows.start[row]; k < last; ++k, entries += 9) {
    Eigen::Map<Four> target(y + stride * static_cast<std::size_t>(rows.column[k]));
    target += Eigen::Map<const Four>(entries) * x_row(0) + Eigen::Map<const Four>(entries + 3) * x_row(1) +
              Eigen::Map<const Four>(entries + 6) * x_row(2);
  }
}

}  // namespace setstress
