#include "solver/sweep_product.hpp"

namespace setstress {

void SweepProduct::assign(const BlockMatrix& matrix) {
  inside_.assign(pattern_->inside, matrix);
  before_.assign(pattern_->before, matrix);
  after_.assign(pattern_->after, matrix);
  diagonal_.resize(pattern_->diagonal.size());
  for (std::size_t place = 0; place < diagonal_.size(); ++place)
    diagonal_[place] << matrix.values[pattern_->diagonal[place]], Eigen::RowVector3d::Zero();
}

void SweepProduct::multiply_part(int part, const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
  const auto [first, last] = order_->part(part);
  y.segment(stride * first, stride * (last - first)).setZero();
  for (int place = first; place < last; ++place) {
    const auto row = static_cast<std::size_t>(place);
    Values::RowSum sum = inside_.gather(pattern_->inside, row, x.data(), {});
    sum = before_.gather(pattern_->before, row, x.data(), sum);
    sum = after_.gather(pattern_->after, row, x.data(), sum);
    const Eigen::Vector3d x_row = x.segment<3>(stride * place);
    // Stored as one short vector, so that later rows can add to it as one without waiting.
    y.segment<stride>(stride * place) +=
        diagonal_[row] * x_row + Eigen::Vector4d(sum.x.sum(), sum.y.sum(), sum.z.sum(), 0);
    inside_.scatter(pattern_->inside, row, x_row, y.data());
  }
  for (int place = first; place < last; ++place) y(stride * place + 3) = 0;
}

void SweepProduct::multiply(const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
  y.resize(x.size());
#pragma omp parallel for schedule(dynamic, 1) if (order_->worth_threads())
  for (int part = 0; part < order_->parts(); ++part) multiply_part(part, x, y);
}

void SweepProduct::multiply_part(int part, const Bundle& x, Bundle& y) const {
  using Entries = Eigen::Matrix<double, 1, bundle>;
  const auto [first, last] = order_->part(part);
  y.middleRows(stride * first, stride * (last - first)).setZero();
  for (int place = first; place < last; ++place) {
    const auto row = static_cast<std::size_t>(place);
    const Eigen::Matrix<double, 3, bundle, Eigen::RowMajor> x_row = x.middleRows<3>(stride * place);
    Entries sum[3];
    for (int i = 0; i < 3; ++i) sum[i] = diagonal_[row].row(i) * x_row;
    const auto add = [&](const SweepRows& rows, const Values& values, bool both) {
      for (std::uint32_t k = rows.start[row]; k < rows.start[row + 1]; ++k)
        for (int j = 0; j < 3; ++j) {
          const Eigen::Index other = stride * static_cast<Eigen::Index>(rows.column[k]) + j;
          const Entries x_other = x.row(other);
          Entries transposed = Entries::Zero();
          for (int i = 0; i < 3; ++i) {
            const double entry = values.block(k)[3 * i + j];
            sum[i] += entry * x_other;
            transposed += entry * x_row.row(i);
          }
          if (both) y.row(other) += transposed;
        }
    };
    add(pattern_->inside, inside_, true);
    add(pattern_->before, before_, false);
    add(pattern_->after, after_, false);
    for (int i = 0; i < 3; ++i) y.row(stride * place + i) += sum[i];
  }
}

void SweepProduct::multiply(const Bundle& x, Bundle& y) const {
  y.resize(x.rows(), bundle);
#pragma omp parallel for schedule(dynamic, 1) if (order_->worth_threads())
  for (int part = 0; part < order_->parts(); ++part) multiply_part(part, x, y);
}

std::size_t SweepProduct::bytes() const {
  return inside_.bytes() + before_.bytes() + after_.bytes() + diagonal_.size() * sizeof(diagonal_[0]);
}

}  // namespace setstress
