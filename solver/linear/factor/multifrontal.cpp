#include "solver/linear/factor/multifrontal.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <atomic>
#include <cstring>
#include <mutex>
#include <numeric>
#include <stdexcept>

namespace setstress {

namespace {

/// Of what the matrix had there: less has lost five of seven digits.
constexpr float least_pivot = 1e-5f;
/// Columns of a front that one thread works on at a time; a multiple of three.
constexpr Eigen::Index chunk = 192;

using Front = Eigen::Map<Eigen::MatrixXf>;
using ConstFront = Eigen::Map<const Eigen::MatrixXf>;

std::vector<std::int64_t> range(std::int64_t first, std::int64_t last) {
  std::vector<std::int64_t> result(static_cast<std::size_t>(last - first));
  std::iota(result.begin(), result.end(), first);
  return result;
}

/// Calls visit(node, its place) for the nodes of a front.
template <typename Visit>
void for_front(const SupernodalPattern& pattern, std::int64_t supernode, const Visit& visit) {
  const std::int32_t* row = pattern.row.data() + pattern.row_start[static_cast<std::size_t>(supernode)];
  const auto nodes = static_cast<std::int32_t>(pattern.rows(supernode) / 3);
  for (std::int32_t place = 0; place < nodes; ++place) visit(row[3 * place] / 3, place);
}

/// Adds columns first to last - 1 (nodes) of a child's remainder to a front whose first node is number
/// `offset` of the parent's. Lower triangles.
void extend_add(const ConstFront& child, const std::int32_t* target, std::int64_t first, std::int64_t last,
                std::int32_t offset, Front front) {
  const Eigen::Index nodes = child.cols() / 3;
  for (std::int64_t node = first; node < last; ++node)
    for (Eigen::Index j = 0; j < 3; ++j) {
      const float* from = child.col(3 * node + j).data();
      float* to = front.col(3 * (target[node] - offset) + j).data() - 3 * static_cast<std::ptrdiff_t>(offset);
      for (Eigen::Index i = node; i < nodes; ++i) {
        float* at = to + 3 * static_cast<std::ptrdiff_t>(target[i]);
        at[0] += from[3 * i];
        at[1] += from[3 * i + 1];
        at[2] += from[3 * i + 2];
      }
    }
}

/// L of the diagonal block, then the rectangle below. False if a pivot is too small.
bool factorise_columns(Front& panel) {
  const Eigen::Index columns = panel.cols(), below = panel.rows() - columns;
  Eigen::Ref<Eigen::MatrixXf, 0, Eigen::OuterStride<>> diagonal = panel.topRows(columns);
  const Eigen::VectorXf had = diagonal.diagonal();
  const Eigen::LLT<Eigen::Ref<Eigen::MatrixXf, 0, Eigen::OuterStride<>>> cholesky(diagonal);
  if (cholesky.info() != Eigen::Success) return false;
  for (Eigen::Index j = 0; j < columns; ++j)
    if (!(diagonal(j, j) * diagonal(j, j) >= least_pivot * had(j))) return false;
#pragma omp parallel for schedule(dynamic, 1) if (below >= 4 * chunk)
  for (Eigen::Index first = 0; first < below; first += chunk) {
    auto rows = panel.middleRows(columns + first, std::min(chunk, below - first));
    diagonal.transpose().triangularView<Eigen::Upper>().solveInPlace<Eigen::OnTheRight>(rows);
  }
  return true;
}

}  // namespace

/// Remainders of fronts whose parents are still to come, the next ones on top. Above them is room for the
/// front that is being eliminated.
class Multifrontal::Stack {
 public:
  explicit Stack(std::size_t size) { values_.resize(size); }
  float* top() { return values_.data() + used_; }
  [[nodiscard]] bool holds(const float* values) const {
    return values >= values_.data() && values < values_.data() + used_;
  }
  /// Puts what lies `from` the top upwards to `to`, which becomes the bottom of it.
  void settle(const float* from, float* to, std::size_t size) {
    if (from != to) std::memmove(to, from, size * sizeof(float));
    used_ = static_cast<std::size_t>(to - values_.data()) + size;
  }

 private:
  LargeArray<float> values_;
  std::size_t used_ = 0;
};

Multifrontal::Multifrontal(const BlockPattern& matrix, std::shared_ptr<const SupernodalPattern> pattern)
    : pattern_(std::move(pattern)) {
  static std::once_flag repeatable;  // Eigen's own threads would change the last bits of products
  std::call_once(repeatable, [] { Eigen::setNbThreads(1); });
  const SupernodalPattern& p = *pattern_;
  for (std::int64_t s = 0; s < p.supernodes(); ++s)
    for (const std::int64_t start : {p.first_column[static_cast<std::size_t>(s)], p.rows(s)})
      if (start % 3 != 0)
        throw std::invalid_argument("multifrontal: a supernode parts the three unknowns of a node");
  find_entries(matrix);
  find_targets();
  for (const SupernodalPattern::Branch& branch : p.branches)
    branch_stack_.push_back(stack_size(range(branch.first, branch.last)));
  trunk_stack_ = stack_size(p.trunk);
}

void Multifrontal::find_entries(const BlockPattern& matrix) {
  const SupernodalPattern& p = *pattern_;
  std::vector<std::int32_t> position(static_cast<std::size_t>(matrix.nodes)), place_of(position.size(), -1);
  for (std::size_t i = 0; i < position.size(); ++i)
    position[static_cast<std::size_t>(p.permutation[3 * i] / 3)] = static_cast<std::int32_t>(i);
  entry_start_.assign(1, 0);
  for (std::int64_t s = 0; s < p.supernodes(); ++s) {
    for_front(p, s, [&](std::int32_t node, std::int32_t place) {
      place_of[static_cast<std::size_t>(node)] = place;
    });
    const auto first = static_cast<std::int32_t>(p.first_column[static_cast<std::size_t>(s)] / 3);
    for (std::int32_t column = 0; column < p.columns(s) / 3; ++column) {
      const auto node =
          static_cast<std::size_t>(p.permutation[3 * static_cast<std::size_t>(first + column)] / 3);
      for (std::size_t k = matrix.row_start[node]; k < matrix.row_start[node + 1]; ++k) {
        const std::int32_t other = position[static_cast<std::size_t>(matrix.column[k])];
        if (other >= first + column)
          entry_.push_back(
              {static_cast<std::uint32_t>(k), place_of[static_cast<std::size_t>(other)], column});
      }
    }
    entry_start_.push_back(entry_.size());
  }
}

void Multifrontal::find_targets() {
  const SupernodalPattern& p = *pattern_;
  target_start_.assign(static_cast<std::size_t>(p.supernodes()) + 1, 0);
  for (std::int64_t s = 0; s < p.supernodes(); ++s)
    target_start_[static_cast<std::size_t>(s) + 1] =
        target_start_[static_cast<std::size_t>(s)] + static_cast<std::size_t>(nodes_below(s));
  target_.resize(target_start_.back());
  std::vector<std::int32_t> place_of(p.permutation.size() / 3, -1);
  for (std::int64_t parent = 0; parent < p.supernodes(); ++parent) {
    for_front(p, parent, [&](std::int32_t node, std::int32_t place) {
      place_of[static_cast<std::size_t>(node)] = place;
    });
    for (const std::int64_t child : p.children[static_cast<std::size_t>(parent)]) {
      const auto columns = static_cast<std::int32_t>(p.columns(child) / 3);
      for_front(p, child, [&](std::int32_t node, std::int32_t place) {
        if (place >= columns)
          target_[target_start_[static_cast<std::size_t>(child)] +
                  static_cast<std::size_t>(place - columns)] = place_of[static_cast<std::size_t>(node)];
      });
    }
  }
}

/// Of the matrix, by position in L.
Eigen::VectorXd Multifrontal::diagonal(const std::vector<Block>& values) const {
  const SupernodalPattern& p = *pattern_;
  Eigen::VectorXd result(static_cast<Eigen::Index>(p.permutation.size()));
  for (std::int64_t s = 0; s < p.supernodes(); ++s)
    for (std::size_t e = entry_start_[static_cast<std::size_t>(s)];
         e < entry_start_[static_cast<std::size_t>(s) + 1]; ++e)
      if (entry_[e].row == entry_[e].column)
        result.segment<3>(p.first_column[static_cast<std::size_t>(s)] + 3 * entry_[e].column) =
            values[entry_[e].source].diagonal();
  return result;
}

std::size_t Multifrontal::stack_size(const std::vector<std::int64_t>& supernodes) const {
  std::size_t used = 0, most = 0;
  std::vector<std::size_t> bottom(static_cast<std::size_t>(pattern_->supernodes()), SIZE_MAX);
  for (const std::int64_t s : supernodes) {
    const auto below = static_cast<std::size_t>(3 * nodes_below(s));
    most = std::max(
        most, used + below * below + static_cast<std::size_t>(pattern_->rows(s) * pattern_->columns(s)));
    std::size_t to = used;
    for (const std::int64_t child : pattern_->children[static_cast<std::size_t>(s)])
      to = std::min(to, bottom[static_cast<std::size_t>(child)]);
    bottom[static_cast<std::size_t>(s)] = to;
    used = to + below * below;
  }
  return most;
}

bool Multifrontal::eliminate(std::int64_t supernode, const std::vector<Block>& values,
                             SupernodalFactor& factor, std::vector<float*>& remainder, Stack& stack) const {
  const auto s = static_cast<std::size_t>(supernode);
  const Eigen::Index columns = pattern_->columns(supernode), below = pattern_->rows(supernode) - columns;
  Front rest(stack.top(), below, below), panel(stack.top() + below * below, columns + below, columns);
  const auto own_nodes = static_cast<std::int32_t>(columns / 3);
  panel.setZero();
  for (std::size_t e = entry_start_[s]; e < entry_start_[s + 1]; ++e)
    panel.block<3, 3>(3 * entry_[e].row, 3 * entry_[e].column) =
        values[entry_[e].source].transpose().cast<float>();
  struct Child {
    ConstFront remainder;
    const std::int32_t* target;
    std::int64_t own;  ///< of its nodes, those among the columns here
  };
  std::vector<Child> children;
  float* bottom = stack.top();
  for (const std::int64_t c : pattern_->children[s]) {
    const std::int64_t nodes = nodes_below(c);
    float* const from = remainder[static_cast<std::size_t>(c)];
    const std::int32_t* target = target_.data() + target_start_[static_cast<std::size_t>(c)];
    children.push_back({ConstFront(from, 3 * nodes, 3 * nodes), target,
                        std::lower_bound(target, target + nodes, own_nodes) - target});
    if (stack.holds(from)) bottom = std::min(bottom, from);
    extend_add(children.back().remainder, target, 0, children.back().own, 0, panel);
  }
  if (!factorise_columns(panel)) return false;
  factor.store(supernode, panel);
  const auto lower = panel.bottomRows(below);
#pragma omp parallel for schedule(dynamic, 1) if (below >= 4 * chunk)
  for (Eigen::Index first = 0; first < below; first += chunk) {
    const Eigen::Index size = std::min(chunk, below - first);
    rest.block(first, first, below - first, size).noalias() =
        -lower.bottomRows(below - first) * lower.middleRows(first, size).transpose();
    const auto first_node = static_cast<std::int32_t>(own_nodes + first / 3);
    for (const Child& child : children) {
      const std::int32_t* end = child.target + child.remainder.cols() / 3;
      const auto place = [&](std::int32_t node) {
        return std::lower_bound(child.target, end, node) - child.target;
      };
      extend_add(child.remainder, child.target, place(first_node),
                 place(first_node + static_cast<std::int32_t>(size / 3)), own_nodes, rest);
    }
  }
  stack.settle(rest.data(), bottom, static_cast<std::size_t>(below * below));
  remainder[s] = bottom;
  return true;
}

bool Multifrontal::factorise(const std::vector<Block>& values, SupernodalFactor& factor) const {
  const SupernodalPattern& p = *pattern_;
  const Eigen::VectorXd own = diagonal(values);
  if (!(own.array() > 0).all()) return false;  // nothing to scale with
  factor.begin(pattern_, own);
  std::vector<float*> remainder(static_cast<std::size_t>(p.supernodes()), nullptr);
  std::vector<std::unique_ptr<Stack>> stacks;
  for (const std::size_t size : branch_stack_) stacks.push_back(std::make_unique<Stack>(size));
  std::atomic<bool> good = true;
#pragma omp parallel for schedule(dynamic, 1) if (stacks.size() > 1)
  for (std::size_t k = 0; k < stacks.size(); ++k)
    for (std::int64_t s = p.branches[k].first; good && s < p.branches[k].last; ++s)
      if (!eliminate(s, values, factor, remainder, *stacks[k])) good = false;
  Stack stack(trunk_stack_);
  for (auto s = p.trunk.begin(); good && s != p.trunk.end(); ++s)
    if (!eliminate(*s, values, factor, remainder, stack)) good = false;
  return good;
}

std::size_t Multifrontal::bytes() const {
  return entry_.size() * sizeof(Entry) + target_.size() * sizeof(std::int32_t) +
         (entry_start_.size() + target_start_.size()) * sizeof(std::size_t) + pattern_->bytes();
}

}  // namespace setstress
