#include "solver/supernodal_factor.hpp"

#include <algorithm>

namespace setstress {

namespace {

constexpr std::int64_t worth_threads = 300'000;  // entries of the factor
constexpr int wanted_branches = 4;               // none with more than this share of the entries

using ConstPanel = Eigen::Map<const Eigen::MatrixXf, 0, Eigen::OuterStride<>>;

/// One supernode: its triangular diagonal block, the rectangle below it and the rows of the rectangle.
struct Supernode {
  ConstPanel diagonal, below;
  Eigen::Index first;
  const std::int32_t* row;
};

Supernode supernode(const SupernodalFactor& factor, std::int64_t number) {
  const SupernodalPattern& pattern = *factor.pattern;
  const auto s = static_cast<std::size_t>(number);
  const Eigen::Index columns = pattern.columns(number), rows = pattern.rows(number);
  const float* values = factor.value.data() + pattern.value_start[s];
  return {ConstPanel(values, columns, columns, Eigen::OuterStride<>(rows)),
          ConstPanel(values + columns, rows - columns, columns, Eigen::OuterStride<>(rows)),
          pattern.first_column[s], pattern.row.data() + pattern.row_start[s] + columns};
}

/// Solves the supernode's own unknowns; `entry(row)` is where what they take from another row is taken.
template <typename Entry>
void solve_forward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch, const Entry& entry) {
  auto own = y.segment(node.first, node.diagonal.cols());
  node.diagonal.triangularView<Eigen::Lower>().solveInPlace(own);
  auto product = scratch.head(node.below.rows());
  product.noalias() = node.below * own;
  for (Eigen::Index i = 0; i < product.size(); ++i) entry(node.row[i]) -= product(i);
}

void solve_backward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch) {
  auto own = y.segment(node.first, node.diagonal.cols());
  auto others = scratch.head(node.below.rows());
  for (Eigen::Index i = 0; i < others.size(); ++i) others(i) = y(node.row[i]);
  own.noalias() -= node.below.transpose() * others;
  node.diagonal.transpose().triangularView<Eigen::Upper>().solveInPlace(own);
}

/// Supernodes are in postorder: a subtree is a run of numbers.
struct Subtrees {
  std::vector<std::int64_t> first;    ///< by supernode: of the subtree under it
  std::vector<std::int64_t> entries;  ///< of the factor in that subtree

  explicit Subtrees(const SupernodalPattern& pattern) {
    for (std::size_t s = 0; s + 1 < pattern.first_column.size(); ++s) {
      const auto& children = pattern.children[s];
      first.push_back(children.empty() ? static_cast<std::int64_t>(s)
                                       : first[static_cast<std::size_t>(children.front())]);
      entries.push_back(pattern.value_start[s + 1] - pattern.value_start[s]);
      for (const std::int64_t child : children) entries[s] += entries[static_cast<std::size_t>(child)];
    }
  }
};

/// The roots of subtrees of at most `most` entries each, as high in the tree as they can be, ascending.
std::vector<std::int64_t> cut(const SupernodalPattern& pattern, const Subtrees& subtrees, std::int64_t most) {
  std::vector<std::int64_t> roots, open = pattern.children.back();
  while (!open.empty()) {
    const auto s = static_cast<std::size_t>(open.back());
    open.pop_back();
    if (subtrees.entries[s] <= most)
      roots.push_back(static_cast<std::int64_t>(s));
    else
      open.insert(open.end(), pattern.children[s].begin(), pattern.children[s].end());
  }
  std::sort(roots.begin(), roots.end());
  return roots;
}

}  // namespace

Eigen::Index SupernodalPattern::columns(std::int64_t supernode) const {
  const auto s = static_cast<std::size_t>(supernode);
  return first_column[s + 1] - first_column[s];
}

Eigen::Index SupernodalPattern::rows(std::int64_t supernode) const {
  const auto s = static_cast<std::size_t>(supernode);
  return row_start[s + 1] - row_start[s];
}

void SupernodalPattern::find_tree() {
  children.assign(first_column.size(), {});
  most_rows = 0;
  for (std::int64_t s = 0; s < supernodes(); ++s) {
    most_rows = std::max<std::int64_t>(most_rows, rows(s));
    auto parent = static_cast<std::size_t>(supernodes());
    if (columns(s) < rows(s)) {
      const std::int32_t column =
          row[static_cast<std::size_t>(row_start[static_cast<std::size_t>(s)] + columns(s))];
      const auto after = std::upper_bound(first_column.begin(), first_column.end(), column);
      parent = static_cast<std::size_t>(after - first_column.begin()) - 1;
    }
    children[parent].push_back(s);
  }
  branches.clear();
  if (value_start.back() >= worth_threads) {
    const Subtrees subtrees(*this);
    const std::int64_t most = value_start.back() / wanted_branches;
    std::int64_t in_last = 0;
    for (const std::int64_t root : cut(*this, subtrees, most)) {
      const auto s = static_cast<std::size_t>(root);
      if (!branches.empty() && branches.back().last == subtrees.first[s] &&
          in_last + subtrees.entries[s] <= most) {
        branches.back().last = root + 1;
        in_last += subtrees.entries[s];
      } else {
        branches.push_back({subtrees.first[s], root + 1});
        in_last = subtrees.entries[s];
      }
    }
  }
  trunk.clear();
  std::int64_t next = 0;
  for (const Branch& branch : branches) {
    for (; next < branch.first; ++next) trunk.push_back(next);
    next = branch.last;
  }
  for (; next < supernodes(); ++next) trunk.push_back(next);
  trunk_column.clear();
  trunk_place.assign(permutation.size(), -1);
  for (const std::int64_t s : trunk)
    for (std::int64_t column = first_column[static_cast<std::size_t>(s)];
         column < first_column[static_cast<std::size_t>(s) + 1]; ++column) {
      trunk_place[static_cast<std::size_t>(column)] = static_cast<std::int32_t>(trunk_column.size());
      trunk_column.push_back(static_cast<std::int32_t>(column));
    }
}

void SupernodalFactor::solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) const {
  const SupernodalPattern& p = *pattern;
  Eigen::VectorXf y(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i) y(i) = b(p.permutation[static_cast<std::size_t>(i)]);
  const auto count = static_cast<Eigen::Index>(p.branches.size());
  Eigen::MatrixXf on_trunk(static_cast<Eigen::Index>(p.trunk_column.size()),
                           count);  // what each takes from it
#pragma omp parallel for schedule(dynamic, 1) if (count > 1)
  for (Eigen::Index k = 0; k < count; ++k) {
    const SupernodalPattern::Branch& branch = p.branches[static_cast<std::size_t>(k)];
    const std::int64_t end = p.first_column[static_cast<std::size_t>(branch.last)];
    Eigen::VectorXf scratch(p.most_rows);
    on_trunk.col(k).setZero();
    for (std::int64_t s = branch.first; s < branch.last; ++s)
      solve_forward(supernode(*this, s), y, scratch, [&](std::int32_t at) -> float& {
        return at < end ? y(at) : on_trunk(p.trunk_place[static_cast<std::size_t>(at)], k);
      });
  }
  for (Eigen::Index k = 0; k < count; ++k)
    for (std::size_t i = 0; i < p.trunk_column.size(); ++i)
      y(p.trunk_column[i]) += on_trunk(static_cast<Eigen::Index>(i), k);
  Eigen::VectorXf scratch(p.most_rows);
  for (const std::int64_t s : p.trunk)
    solve_forward(supernode(*this, s), y, scratch, [&](std::int32_t at) -> float& { return y(at); });
  for (auto s = p.trunk.rbegin(); s != p.trunk.rend(); ++s) solve_backward(supernode(*this, *s), y, scratch);
#pragma omp parallel for schedule(dynamic, 1) if (count > 1)
  for (Eigen::Index k = 0; k < count; ++k) {
    const SupernodalPattern::Branch& branch = p.branches[static_cast<std::size_t>(k)];
    Eigen::VectorXf own_scratch(p.most_rows);
    for (std::int64_t s = branch.last; s-- > branch.first;)
      solve_backward(supernode(*this, s), y, own_scratch);
  }
  x.resize(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i) x(p.permutation[static_cast<std::size_t>(i)]) = y(i);
}

std::size_t SupernodalPattern::bytes() const {
  return (first_column.size() + row_start.size() + value_start.size() + trunk.size()) * sizeof(std::int64_t) +
         (row.size() + permutation.size() + trunk_column.size() + trunk_place.size()) * sizeof(std::int32_t) +
         children.size() * (sizeof(children[0]) + sizeof(std::int64_t));
}

SupernodalFactor::Panel SupernodalFactor::panel(std::int64_t supernode) {
  return {value.data() + pattern->value_start[static_cast<std::size_t>(supernode)], pattern->rows(supernode),
          pattern->columns(supernode)};
}

}  // namespace setstress
