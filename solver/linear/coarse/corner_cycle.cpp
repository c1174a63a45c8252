#include "solver/linear/coarse/corner_cycle.hpp"

#include <cmath>

namespace setstress {

namespace {

// One cycle takes a share of an error between these away, of whatever shape: 1 because sweeps and aggregates
// never overshoot, the lower as found on ready-made cases. What a cycle takes less of is left to the
// conjugate gradients.
constexpr double least = 0.3, most = 1;

}  // namespace

CornerCycle::CornerCycle(const NodeGraph& corners, std::span<const std::array<int, 2>> edges)
    : structure_(std::make_shared<const Structure>(corners)),
      smoother_(structure_->pattern, structure_->order),
      aggregates_(corners, structure_->order, edges) {}

CornerCycle::CornerCycle(const CornerCycle& other)
    : structure_(other.structure_),
      smoother_(structure_->pattern, structure_->order),
      aggregates_(other.aggregates_) {}

void CornerCycle::renew(const BlockMatrix& matrix, const std::vector<char>& coupled) {
  smoother_.assign(matrix);
  aggregates_.renew(matrix, coupled);
}

/// z_ := what one cycle makes of r, and left_ := r - A z_.
void CornerCycle::cycle(const Eigen::VectorXf& r) {
  smoother_.forward(r, z_, left_);
  aggregates_.correct(left_, z_);
  smoother_.backward(r, z_, left_);
}

void CornerCycle::solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) {
  const SweepOrder& order = structure_->order;
  const double middle = 0.5 * (most + least), reach = 0.5 * (most - least) / std::sqrt(2.0);
  const auto first = static_cast<float>(1 / (middle + reach)),
             second = static_cast<float>(1 / (middle - reach));
  r_.resize(stride * order.nodes());
  x.resize(b.size());
  order.for_nodes(
      [&](int place, int node) { r_.segment<stride>(stride * place) << b.segment<3>(3 * node), 0; });
  cycle(r_);
  order.for_nodes([&](int place, int node) {
    x.segment<3>(3 * node) = first * z_.segment<3>(stride * place);
    auto r = r_.segment<stride>(stride * place);
    r += first * (left_.segment<stride>(stride * place) - r);
  });
  cycle(r_);
  order.for_nodes(
      [&](int place, int node) { x.segment<3>(3 * node) += second * z_.segment<3>(stride * place); });
}

std::size_t CornerCycle::bytes() const {
  const auto vectors = static_cast<std::size_t>(r_.size() + z_.size() + left_.size()) * sizeof(float);
  return vectors + structure_->pattern.bytes() + smoother_.bytes() + aggregates_.bytes();
}

}  // namespace setstress
