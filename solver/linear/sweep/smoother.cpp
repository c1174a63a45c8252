#include "solver/linear/sweep/smoother.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <iterator>

#include "solver/linear/matrix/not_positive_definite.hpp"

namespace setstress {

namespace {

/// Of a part, each time its turn comes: the second finds it in cache. It costs a tenth of an iteration and
/// saves a third of them; a third one saves no more than it costs.
constexpr int sweeps = 2;

/// Asks for the values of a part, a share at a time, while another is swept for the second time and needs
/// nothing from memory itself. The processor looks ahead too, but not from part to part: at a million
/// unknowns, out of cache, sweeps take a fifth less time with it.
class PartAhead {
 public:
  PartAhead(const SweepRows& rows, const SweepValues& values, std::array<int, 2> places, int shares)
      : at_(values.block(rows.start[static_cast<std::size_t>(places[0])])),
        last_(values.block(rows.start[static_cast<std::size_t>(places[1])])),
        share_(((last_ - at_) / shares / line + 1) * line) {}
  void ask() {
    const float* const end = std::min(at_ + share_, last_);
    for (; at_ < end; at_ += line) __builtin_prefetch(at_, 0, /*low locality: second-level cache*/ 2);
  }

 private:
  static constexpr std::ptrdiff_t line = 64 / sizeof(float);
  const float *at_, *last_;
  std::ptrdiff_t share_;
};

/// The first leading minor of a diagonal block that is not positive; 3 if all are.
int first_minor_not_positive(const Block& block) {
  const double minors[] = {block(0, 0), block.topLeftCorner<2, 2>().determinant(), block.determinant()};
  return static_cast<int>(
      std::find_if_not(std::begin(minors), std::end(minors), [](double m) { return m > 0; }) -
      std::begin(minors));
}

}  // namespace

void Smoother::assign(const BlockMatrix& matrix) {
  inside_.assign(pattern_->inside, matrix);
  before_.assign(pattern_->before, matrix);
  after_.assign(pattern_->after, matrix);
  inverse_diagonal_.resize(pattern_->diagonal.size());
  const int places = order_->nodes();
  int bad = places;
#pragma omp parallel for schedule(static) reduction(min : bad) if (order_->worth_threads())
  for (int place = 0; place < places; ++place) {
    const Block& block = matrix.values[pattern_->diagonal[static_cast<std::size_t>(place)]];
    if (first_minor_not_positive(block) < 3) bad = std::min(bad, place);
    inverse_diagonal_[static_cast<std::size_t>(place)] << block.inverse().cast<float>(),
        Eigen::RowVector3f::Zero();
  }
  if (bad < places)
    throw NotPositiveDefinite(
        order_->node_at[static_cast<std::size_t>(bad)],
        first_minor_not_positive(matrix.values[pattern_->diagonal[static_cast<std::size_t>(bad)]]));
}

/// The row's diagonal block applied backwards; the fourth entry is zero.
inline ShortVector Smoother::solved(std::size_t row, ShortVector right) const {
  const float* const columns = inverse_diagonal_[row].data();
  return load(columns) * spread<0>(right) + load(columns + stride) * spread<1>(right) +
         load(columns + std::ptrdiff_t{2} * stride) * spread<2>(right);
}

void Smoother::forward_part(int part, int next, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                            Eigen::VectorXf& residual) {
  const auto [first, last] = order_->part(part);
  z.segment(stride * first, stride * (last - first)).setZero();
  residual.segment(stride * first, stride * (last - first)).setZero();
  PartAhead ahead(pattern_->inside, inside_, order_->part(next), last - first);
  for (int sweep = 0; sweep < sweeps; ++sweep)
    for (int place = first; place < last; ++place) {
      if (sweep + 1 == sweeps) ahead.ask();
      const auto row = static_cast<std::size_t>(place);
      float* const right_row = right_.data() + stride * row;
      if (sweep == 0)
        store(load(r.data() + stride * row) - before_.gather(pattern_->before, row, z.data()), right_row);
      const ShortVector known = inside_.gather(pattern_->inside, row, z.data());
      float* const residual_row = residual.data() + stride * row;
      const ShortVector later = load(residual_row);
      const ShortVector z_row = solved(row, load(right_row) + later - known);
      store(z_row, z.data() + stride * row);
      store(-later, residual_row);
      inside_.scatter(pattern_->inside, row, -z_row, residual.data());
    }
}

void Smoother::forward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual) {
  z.resize(r.size());
  residual.resize(r.size());
  right_.resize(r.size());
  order_->in_turn(/*reverse=*/false, [&](int part, int next) { forward_part(part, next, r, z, residual); });
  order_->for_nodes([&](int place, int) {
    const auto row = static_cast<std::size_t>(place);
    float* const residual_row = residual.data() + stride * row;
    store(load(residual_row) - after_.gather(pattern_->after, row, z.data()), residual_row);
  });
}

void Smoother::backward_part(int part, int next, const Eigen::VectorXf& r, Eigen::VectorXf& z,
                             Eigen::VectorXf& residual) {
  const auto [first, last] = order_->part(part);
  PartAhead ahead(pattern_->inside, inside_, order_->part(next), last - first);
  for (int sweep = 0; sweep < sweeps; ++sweep) {
    // Until its turn comes, a row's place in the residual holds its sums over later rows.
    residual.segment(stride * first, stride * (last - first)).setZero();
    for (int place = last - 1; place >= first; --place) {
      if (sweep + 1 == sweeps) ahead.ask();
      const auto row = static_cast<std::size_t>(place);
      float* const right_row = right_.data() + stride * row;
      if (sweep == 0) {
        const ShortVector before = before_.gather_backwards(pattern_->before, row, z.data());
        store(before, before_then_.data() + stride * row);
        store(
            load(r.data() + stride * row) - before - after_.gather_backwards(pattern_->after, row, z.data()),
            right_row);
      }
      const ShortVector known = inside_.gather_backwards(pattern_->inside, row, z.data());
      float* const residual_row = residual.data() + stride * row;
      const ShortVector z_row = solved(row, load(right_row) - load(residual_row) - known);
      store(z_row, z.data() + stride * row);
      store(known, residual_row);
      inside_.scatter(pattern_->inside, row, z_row, residual.data());
    }
  }
  for (int place = first; place < last; ++place) {
    const auto row = static_cast<std::size_t>(place);
    float* const residual_row = residual.data() + stride * row;
    store(load(residual_row) - inside_.gather(pattern_->inside, row, z.data()), residual_row);
  }
}

void Smoother::backward(const Eigen::VectorXf& r, Eigen::VectorXf& z, Eigen::VectorXf& residual) {
  residual.resize(r.size());
  right_.resize(r.size());
  before_then_.resize(r.size());
  order_->in_turn(/*reverse=*/true, [&](int part, int next) { backward_part(part, next, r, z, residual); });
  order_->for_nodes([&](int place, int) {
    const auto row = static_cast<std::size_t>(place);
    float* const residual_row = residual.data() + stride * row;
    store(load(residual_row) + load(before_then_.data() + stride * row) -
              before_.gather(pattern_->before, row, z.data()),
          residual_row);
  });
}

std::size_t Smoother::bytes() const {
  return inside_.bytes() + before_.bytes() + after_.bytes() +
         inverse_diagonal_.size() * sizeof(inverse_diagonal_[0]) +
         static_cast<std::size_t>(right_.size() + before_then_.size()) * sizeof(float);
}

}  // namespace setstress
