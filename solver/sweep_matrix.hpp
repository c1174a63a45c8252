#pragma once
// The matrix as the two-level solver reads it: renumbered, half stored, laid out for short vectors.

#include <Eigen/Core>
#include <cstdint>
#include <cstring>
#include <vector>

#include "solver/block_matrix.hpp"
#include "solver/sweep_order.hpp"

namespace setstress {

/// Some couplings of each row, by places.
struct SweepRows {
  static constexpr int lanes = 8;
  std::vector<std::uint32_t> start{0};        ///< by row: first coupling
  std::vector<std::uint32_t> chunk_start{0};  ///< by row: first chunk of its values
  std::vector<std::uint32_t> column, source;  ///< by coupling: place, and position in BlockMatrix::values
  void add(std::uint32_t column_place, std::uint32_t source_position);
  void end_row();
  [[nodiscard]] std::size_t bytes() const;
};

/// Memory traffic is what limits these solvers. So a coupling inside a part is stored once, in the row of its
/// later node, and used for both nodes while it is in a register. Couplings between parts are stored in both
/// rows, so that threads only write to nodes of their own part.
struct SweepPattern {
  SweepRows inside;                     ///< same part, column < row
  SweepRows before;                     ///< other parts, column < row
  SweepRows after;                      ///< other parts, column > row
  std::vector<std::uint32_t> diagonal;  ///< position of each diagonal block in BlockMatrix::values
  std::size_t longest_row = 0;          ///< couplings
  SweepPattern(const NodeGraph& graph, const SweepOrder& order);
};

/// Values of SweepRows. The 3 x 3 blocks of a row stand side by side as a matrix of 3 rows, cut into chunks
/// of 8 columns (the last one padded with zeros): a chunk is three short vectors, and no block is too small
/// for them.
template <typename Scalar>
class SweepValues {
 public:
  static constexpr int lanes = SweepRows::lanes;
  using Lanes = Eigen::Array<Scalar, lanes, 1>;
  using Vector3 = Eigen::Matrix<Scalar, 3, 1>;

  /// Room for the neighbours' entries of one row; one for each thread.
  struct Buffer {
    explicit Buffer(const SweepPattern& pattern) : value(3 * pattern.longest_row + lanes, Scalar{0}) {}
    std::vector<Scalar> value;
  };
  /// The three sums of a row, still spread over lanes.
  struct RowSum {
    Lanes x = Lanes::Zero(), y = Lanes::Zero(), z = Lanes::Zero();
    [[nodiscard]] Vector3 total() const { return {x.sum(), y.sum(), z.sum()}; }
  };

  void assign(const SweepRows& rows, const BlockMatrix& matrix);
  /// sum += blocks of the row times x.
  void gather(const SweepRows& rows, std::size_t row, const Scalar* x, Buffer& buffer, RowSum& sum) const;
  /// y at the row's columns += transposed blocks times x_row.
  void scatter(const SweepRows& rows, std::size_t row, const Vector3& x_row, Buffer& buffer, Scalar* y) const;
  /// Entry (i, column) of the row's matrix of 3 rows.
  [[nodiscard]] Scalar entry(const SweepRows& rows, std::size_t row, int i, std::uint32_t column) const {
    return chunk_of(rows,
                    row)[column / lanes * 3 * lanes + static_cast<std::uint32_t>(i) * lanes + column % lanes];
  }
  [[nodiscard]] std::size_t bytes() const { return value_.size() * sizeof(Scalar); }

 private:
  [[nodiscard]] const Scalar* chunk_of(const SweepRows& rows, std::size_t row) const {
    return value_.data() + 3 * lanes * static_cast<std::size_t>(rows.chunk_start[row]);
  }
  std::vector<Scalar> value_;
};

template <typename Scalar>
void SweepValues<Scalar>::assign(const SweepRows& rows, const BlockMatrix& matrix) {
  value_.resize(3 * lanes * static_cast<std::size_t>(rows.chunk_start.back()), Scalar{0});
  const auto count = static_cast<std::ptrdiff_t>(rows.start.size()) - 1;
#pragma omp parallel for schedule(static)
  for (std::ptrdiff_t r = 0; r < count; ++r) {
    const auto row = static_cast<std::size_t>(r);
    Scalar* chunk = value_.data() + 3 * lanes * static_cast<std::size_t>(rows.chunk_start[row]);
    int lane = 0;
    for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k)
      for (int j = 0; j < 3; ++j) {
        for (int i = 0; i < 3; ++i)
          chunk[i * lanes + lane] = static_cast<Scalar>(matrix.values[rows.source[k]](i, j));
        if (++lane == lanes) {
          lane = 0;
          chunk += 3 * lanes;
        }
      }
  }
}

template <typename Scalar>
void SweepValues<Scalar>::gather(const SweepRows& rows, std::size_t row, const Scalar* x, Buffer& buffer,
                                 RowSum& sum) const {
  Scalar* next = buffer.value.data();
  for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k, next += 3)
    std::memcpy(next, x + 3 * static_cast<std::size_t>(rows.column[k]), 3 * sizeof(Scalar));
  std::memset(next, 0, lanes * sizeof(Scalar));
  const Scalar* chunk = chunk_of(rows, row);
  const Scalar* neighbour = buffer.value.data();
  for (std::uint32_t c = rows.chunk_start[row]; c < rows.chunk_start[row + 1]; ++c) {
    const Eigen::Map<const Lanes> values(neighbour);
    sum.x += Eigen::Map<const Lanes>(chunk) * values;
    sum.y += Eigen::Map<const Lanes>(chunk + lanes) * values;
    sum.z += Eigen::Map<const Lanes>(chunk + 2 * lanes) * values;
    chunk += 3 * lanes;
    neighbour += lanes;
  }
}

template <typename Scalar>
void SweepValues<Scalar>::scatter(const SweepRows& rows, std::size_t row, const Vector3& x_row,
                                  Buffer& buffer, Scalar* y) const {
  const Scalar* chunk = chunk_of(rows, row);
  Scalar* product = buffer.value.data();
  for (std::uint32_t c = rows.chunk_start[row]; c < rows.chunk_start[row + 1]; ++c) {
    Eigen::Map<Lanes> sum(product);
    sum = Eigen::Map<const Lanes>(chunk) * x_row(0) + Eigen::Map<const Lanes>(chunk + lanes) * x_row(1) +
          Eigen::Map<const Lanes>(chunk + 2 * lanes) * x_row(2);
    chunk += 3 * lanes;
    product += lanes;
  }
  const Scalar* next = buffer.value.data();
  for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k, next += 3) {
    Scalar* target = y + 3 * static_cast<std::size_t>(rows.column[k]);
    for (int i = 0; i < 3; ++i) target[i] += next[i];
  }
}

}  // namespace setstress
