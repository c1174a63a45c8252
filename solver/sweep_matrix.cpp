#include "solver/sweep_matrix.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <utility>

#include "solver/linear_solver.hpp"

namespace setstress {

namespace {

template <typename Matrix>
void copy_blocks(const std::vector<std::uint32_t>& source, const BlockMatrix& matrix,
                 std::vector<Matrix>& out) {
  out.resize(source.size());
  const auto count = static_cast<std::ptrdiff_t>(source.size());
#pragma omp parallel for schedule(static)
  for (std::ptrdiff_t k = 0; k < count; ++k) {
    const auto place = static_cast<std::size_t>(k);
    out[place] = matrix.values[source[place]].template cast<typename Matrix::Scalar>();
  }
}

/// sum over the row's couplings of block times x.
template <typename Matrix, typename Vector>
Eigen::Matrix<typename Matrix::Scalar, 3, 1> row_product(const SweepPattern::Rows& rows,
                                                         const std::vector<Matrix>& blocks, std::size_t row,
                                                         const Vector& x) {
  Eigen::Matrix<typename Matrix::Scalar, 3, 1> sum = Eigen::Matrix<typename Matrix::Scalar, 3, 1>::Zero();
  for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k)
    sum.noalias() += blocks[k] * x.template segment<3>(3 * rows.column[k]);
  return sum;
}

/// y at the row's columns += transposed block times x_row.
template <typename Matrix, typename Vector>
void scatter_transposed(const SweepPattern::Rows& rows, const std::vector<Matrix>& blocks, std::size_t row,
                        const Eigen::Matrix<typename Matrix::Scalar, 3, 1>& x_row, Vector& y) {
  for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k)
    y.template segment<3>(3 * rows.column[k]).noalias() += blocks[k].transpose() * x_row;
}

template <typename Matrix>
std::size_t size_in_bytes(const std::vector<Matrix>& blocks) {
  return blocks.capacity() * sizeof(Matrix);
}

}  // namespace

SweepPattern make_sweep_pattern(const NodeGraph& graph, const SweepOrder& order) {
  SweepPattern pattern;
  for (SweepPattern::Rows* rows : {&pattern.inside, &pattern.before, &pattern.after})
    rows->start.push_back(0);
  std::vector<std::pair<int, std::uint32_t>> row_blocks;
  for (int part = 0; part < order.parts(); ++part) {
    const int first = order.part_start[static_cast<std::size_t>(part)];
    const int last = order.part_start[static_cast<std::size_t>(part) + 1];
    for (int place = first; place < last; ++place) {
      const auto node = static_cast<std::size_t>(order.node_at[static_cast<std::size_t>(place)]);
      row_blocks.clear();
      for (std::size_t k = graph.row_start[node]; k < graph.row_start[node + 1]; ++k)
        row_blocks.emplace_back(order.place_of[static_cast<std::size_t>(graph.column[k])],
                                static_cast<std::uint32_t>(k));
      std::sort(row_blocks.begin(), row_blocks.end());
      for (const auto& [column, source] : row_blocks) {
        if (column == place) pattern.diagonal.push_back(source);
        if (column == place || (column > place && column < last)) continue;
        auto& rows = column >= last ? pattern.after : column < first ? pattern.before : pattern.inside;
        rows.column.push_back(static_cast<std::uint32_t>(column));
        rows.source.push_back(source);
      }
      for (SweepPattern::Rows* rows : {&pattern.inside, &pattern.before, &pattern.after})
        rows->start.push_back(static_cast<std::uint32_t>(rows->column.size()));
    }
  }
  return pattern;
}

void ProductMatrix::assign(const SweepPattern& pattern, const BlockMatrix& matrix) {
  pattern_ = &pattern;
  copy_blocks(pattern.inside.source, matrix, inside_);
  copy_blocks(pattern.before.source, matrix, before_);
  copy_blocks(pattern.after.source, matrix, after_);
  copy_blocks(pattern.diagonal, matrix, diagonal_);
}

void ProductMatrix::multiply(const SweepOrder& order, const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
  y.resize(x.size());
#pragma omp parallel for schedule(dynamic, 1)
  for (int part = 0; part < order.parts(); ++part) {
    const int first = order.part_start[static_cast<std::size_t>(part)];
    const int last = order.part_start[static_cast<std::size_t>(part) + 1];
    y.segment(3 * first, 3 * (last - first)).setZero();
    for (int place = first; place < last; ++place) {
      const auto row = static_cast<std::size_t>(place);
      const Eigen::Vector3d x_row = x.segment<3>(3 * place);
      y.segment<3>(3 * place) += diagonal_[row] * x_row + row_product(pattern_->inside, inside_, row, x) +
                                 row_product(pattern_->before, before_, row, x) +
                                 row_product(pattern_->after, after_, row, x);
      scatter_transposed(pattern_->inside, inside_, row, x_row, y);
    }
  }
}

std::size_t ProductMatrix::bytes() const {
  return size_in_bytes(inside_) + size_in_bytes(before_) + size_in_bytes(after_) + size_in_bytes(diagonal_);
}

void Smoother::assign(const SweepPattern& pattern, const SweepOrder& order, const BlockMatrix& matrix) {
  pattern_ = &pattern;
  copy_blocks(pattern.inside.source, matrix, inside_);
  copy_blocks(pattern.before.source, matrix, before_);
  copy_blocks(pattern.after.source, matrix, after_);
  inverse_diagonal_.resize(pattern.diagonal.size());
  for (std::size_t place = 0; place < pattern.diagonal.size(); ++place) {
    const Block& block = matrix.values[pattern.diagonal[place]];
    const double minors[] = {block(0, 0), block.topLeftCorner<2, 2>().determinant(), block.determinant()};
    for (int component = 0; component < 3; ++component)
      if (!(minors[component] > 0)) throw NotPositiveDefinite(order.node_at[place], component);
    inverse_diagonal_[place] = block.inverse().cast<float>();
  }
}

void Smoother::forward(const SweepOrder& order, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                       Eigen::VectorXf& residual) const {
  z.resize(r.size());
  residual.resize(r.size());
  for (int colour = 0; colour < order.colours(); ++colour) {
#pragma omp parallel for schedule(dynamic, 1)
    for (int part = order.colour_start[static_cast<std::size_t>(colour)];
         part < order.colour_start[static_cast<std::size_t>(colour) + 1]; ++part) {
      const int first = order.part_start[static_cast<std::size_t>(part)];
      const int last = order.part_start[static_cast<std::size_t>(part) + 1];
      residual.segment(3 * first, 3 * (last - first)).setZero();
      for (int place = first; place < last; ++place) {
        const auto row = static_cast<std::size_t>(place);
        const Eigen::Vector3f known =
            row_product(pattern_->inside, inside_, row, z) + row_product(pattern_->before, before_, row, z);
        const Eigen::Vector3f z_row = inverse_diagonal_[row] * (r.segment<3>(3 * place) - known);
        z.segment<3>(3 * place) = z_row;
        scatter_transposed(pattern_->inside, inside_, row, Eigen::Vector3f(-z_row), residual);
      }
    }
  }
#pragma omp parallel for schedule(static)
  for (int place = 0; place < order.nodes(); ++place)
    residual.segment<3>(3 * place) -=
        row_product(pattern_->after, after_, static_cast<std::size_t>(place), z);
}

void Smoother::backward(const SweepOrder& order, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                        Eigen::VectorXf& scratch) const {
  scratch.resize(r.size());
  for (int colour = order.colours() - 1; colour >= 0; --colour) {
#pragma omp parallel for schedule(dynamic, 1)
    for (int part = order.colour_start[static_cast<std::size_t>(colour)];
         part < order.colour_start[static_cast<std::size_t>(colour) + 1]; ++part) {
      const int first = order.part_start[static_cast<std::size_t>(part)];
      const int last = order.part_start[static_cast<std::size_t>(part) + 1];
      scratch.segment(3 * first, 3 * (last - first)).setZero();
      for (int place = last - 1; place >= first; --place) {
        const auto row = static_cast<std::size_t>(place);
        const Eigen::Vector3f known =
            scratch.segment<3>(3 * place) + row_product(pattern_->inside, inside_, row, z) +
            row_product(pattern_->before, before_, row, z) + row_product(pattern_->after, after_, row, z);
        const Eigen::Vector3f z_row = inverse_diagonal_[row] * (r.segment<3>(3 * place) - known);
        z.segment<3>(3 * place) = z_row;
        scatter_transposed(pattern_->inside, inside_, row, z_row, scratch);
      }
    }
  }
}

std::size_t Smoother::bytes() const {
  return size_in_bytes(inside_) + size_in_bytes(before_) + size_in_bytes(after_) +
         size_in_bytes(inverse_diagonal_);
}

}  // namespace setstress
