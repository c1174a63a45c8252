#include "solver/supernodal_factor.hpp"

namespace setstress {

namespace {

using Panel = Eigen::Map<const Eigen::MatrixXf, 0, Eigen::OuterStride<>>;

/// One supernode: its triangular diagonal block, the rectangle below it and the rows of the rectangle.
struct Supernode {
  Panel diagonal, below;
  Eigen::Index first;
  const std::int32_t* rows;
};

Supernode supernode(const SupernodalFactor& factor, std::size_t s) {
  const Eigen::Index columns = factor.first_column[s + 1] - factor.first_column[s];
  const Eigen::Index rows = factor.row_start[s + 1] - factor.row_start[s];
  const float* values = factor.value.data() + factor.value_start[s];
  return {Panel(values, columns, columns, Eigen::OuterStride<>(rows)),
          Panel(values + columns, rows - columns, columns, Eigen::OuterStride<>(rows)),
          factor.first_column[s], factor.row.data() + factor.row_start[s] + columns};
}

void solve_forward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch) {
  auto own = y.segment(node.first, node.diagonal.cols());
  node.diagonal.triangularView<Eigen::Lower>().solveInPlace(own);
  auto product = scratch.head(node.below.rows());
  product.noalias() = node.below * own;
  for (Eigen::Index i = 0; i < product.size(); ++i) y(node.rows[i]) -= product(i);
}

void solve_backward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch) {
  auto own = y.segment(node.first, node.diagonal.cols());
  auto others = scratch.head(node.below.rows());
  for (Eigen::Index i = 0; i < others.size(); ++i) others(i) = y(node.rows[i]);
  own.noalias() -= node.below.transpose() * others;
  node.diagonal.transpose().triangularView<Eigen::Upper>().solveInPlace(own);
}

}  // namespace

void SupernodalFactor::solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) const {
  Eigen::VectorXf y(b.size()), scratch(most_rows);
  for (Eigen::Index i = 0; i < y.size(); ++i) y(i) = b(permutation[static_cast<std::size_t>(i)]);
  const std::size_t supernodes = first_column.size() - 1;
  for (std::size_t s = 0; s < supernodes; ++s) solve_forward(supernode(*this, s), y, scratch);
  for (std::size_t s = supernodes; s-- > 0;) solve_backward(supernode(*this, s), y, scratch);
  x.resize(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i) x(permutation[static_cast<std::size_t>(i)]) = y(i);
}

std::size_t SupernodalFactor::bytes() const {
  return (first_column.size() + row_start.size() + value_start.size()) * sizeof(std::int64_t) +
         (row.size() + permutation.size()) * sizeof(std::int32_t) + value.size() * sizeof(float);
}

}  // namespace setstress
