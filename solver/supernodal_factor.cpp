#include "solver/supernodal_factor.hpp"

#include <algorithm>

namespace setstress {

namespace {

constexpr std::int64_t worth_threads = 300'000;  // entries of the factor
constexpr int wanted_branches = 4;               // none with more than this share of the entries

using Panel = Eigen::Map<const Eigen::MatrixXf, 0, Eigen::OuterStride<>>;

/// One supernode: its triangular diagonal block, the rectangle below it and the rows of the rectangle.
struct Supernode {
  Panel diagonal, below;
  Eigen::Index first;
  const std::int32_t* rows;
};

Supernode supernode(const SupernodalFactor& factor, std::int64_t number) {
  const auto s = static_cast<std::size_t>(number);
  const Eigen::Index columns = factor.first_column[s + 1] - factor.first_column[s];
  const Eigen::Index rows = factor.row_start[s + 1] - factor.row_start[s];
  const float* values = factor.value.data() + factor.value_start[s];
  return {Panel(values, columns, columns, Eigen::OuterStride<>(rows)),
          Panel(values + columns, rows - columns, columns, Eigen::OuterStride<>(rows)),
          factor.first_column[s], factor.row.data() + factor.row_start[s] + columns};
}

/// Solves the supernode's own unknowns; `entry(row)` is where what they take from another row is taken.
template <typename Entry>
void solve_forward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch, const Entry& entry) {
  auto own = y.segment(node.first, node.diagonal.cols());
  node.diagonal.triangularView<Eigen::Lower>().solveInPlace(own);
  auto product = scratch.head(node.below.rows());
  product.noalias() = node.below * own;
  for (Eigen::Index i = 0; i < product.size(); ++i) entry(node.rows[i]) -= product(i);
}

void solve_backward(const Supernode& node, Eigen::VectorXf& y, Eigen::VectorXf& scratch) {
  auto own = y.segment(node.first, node.diagonal.cols());
  auto others = scratch.head(node.below.rows());
  for (Eigen::Index i = 0; i < others.size(); ++i) others(i) = y(node.rows[i]);
  own.noalias() -= node.below.transpose() * others;
  node.diagonal.transpose().triangularView<Eigen::Upper>().solveInPlace(own);
}

/// The elimination tree of supernodes, which are in postorder: a subtree is a run of numbers.
struct Tree {
  std::vector<std::int64_t> first;                  ///< by supernode: of the subtree under it
  std::vector<std::int64_t> entries;                ///< of the factor in that subtree
  std::vector<std::vector<std::int64_t>> children;  ///< by supernode; the roots last of all

  explicit Tree(const SupernodalFactor& factor);
};

Tree::Tree(const SupernodalFactor& factor) {
  const std::size_t supernodes = factor.first_column.size() - 1;
  first.resize(supernodes);
  entries.resize(supernodes);
  children.resize(supernodes + 1);
  for (std::size_t s = 0; s < supernodes; ++s) {
    const auto number = static_cast<std::int64_t>(s);
    first[s] = children[s].empty() ? number : first[static_cast<std::size_t>(children[s].front())];
    entries[s] = factor.value_start[s + 1] - factor.value_start[s];
    for (const std::int64_t child : children[s]) entries[s] += entries[static_cast<std::size_t>(child)];
    const std::int64_t below = factor.row_start[s] + factor.first_column[s + 1] - factor.first_column[s];
    std::size_t parent = supernodes;
    if (below < factor.row_start[s + 1]) {
      const std::int64_t column = factor.row[static_cast<std::size_t>(below)];
      const auto after = std::upper_bound(factor.first_column.begin(), factor.first_column.end(), column);
      parent = static_cast<std::size_t>(after - factor.first_column.begin()) - 1;
    }
    children[parent].push_back(number);
  }
}

/// The roots of subtrees of at most `most` entries each, as high in the tree as they can be, ascending.
std::vector<std::int64_t> cut(const Tree& tree, std::int64_t most) {
  std::vector<std::int64_t> roots, open = tree.children.back();
  while (!open.empty()) {
    const auto s = static_cast<std::size_t>(open.back());
    open.pop_back();
    if (tree.entries[s] <= most)
      roots.push_back(static_cast<std::int64_t>(s));
    else
      open.insert(open.end(), tree.children[s].begin(), tree.children[s].end());
  }
  std::sort(roots.begin(), roots.end());
  return roots;
}

}  // namespace

void SupernodalFactor::find_branches() {
  const auto supernodes = static_cast<std::int64_t>(first_column.size()) - 1;
  branches.clear();
  if (value_start.back() >= worth_threads) {
    const Tree tree(*this);
    const std::int64_t most = value_start.back() / wanted_branches;
    std::int64_t entries = 0;  // of the last branch
    for (const std::int64_t root : cut(tree, most)) {
      const auto s = static_cast<std::size_t>(root);
      if (!branches.empty() && branches.back().last == tree.first[s] && entries + tree.entries[s] <= most) {
        branches.back().last = root + 1;
        entries += tree.entries[s];
      } else {
        branches.push_back({tree.first[s], root + 1});
        entries = tree.entries[s];
      }
    }
  }
  trunk.clear();
  std::int64_t next = 0;
  for (const Branch& branch : branches) {
    for (; next < branch.first; ++next) trunk.push_back(next);
    next = branch.last;
  }
  for (; next < supernodes; ++next) trunk.push_back(next);
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
  Eigen::VectorXf y(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i) y(i) = b(permutation[static_cast<std::size_t>(i)]);
  const auto count = static_cast<Eigen::Index>(branches.size());
  Eigen::MatrixXf on_trunk(static_cast<Eigen::Index>(trunk_column.size()), count);  // what each takes from it
#pragma omp parallel for schedule(dynamic, 1) if (count > 1)
  for (Eigen::Index k = 0; k < count; ++k) {
    const Branch& branch = branches[static_cast<std::size_t>(k)];
    const std::int64_t end = first_column[static_cast<std::size_t>(branch.last)];
    Eigen::VectorXf scratch(most_rows);
    on_trunk.col(k).setZero();
    for (std::int64_t s = branch.first; s < branch.last; ++s)
      solve_forward(supernode(*this, s), y, scratch, [&](std::int32_t at) -> float& {
        return at < end ? y(at) : on_trunk(trunk_place[static_cast<std::size_t>(at)], k);
      });
  }
  for (Eigen::Index k = 0; k < count; ++k)
    for (std::size_t i = 0; i < trunk_column.size(); ++i)
      y(trunk_column[i]) += on_trunk(static_cast<Eigen::Index>(i), k);
  Eigen::VectorXf scratch(most_rows);
  for (const std::int64_t s : trunk)
    solve_forward(supernode(*this, s), y, scratch, [&](std::int32_t at) -> float& { return y(at); });
  for (auto s = trunk.rbegin(); s != trunk.rend(); ++s) solve_backward(supernode(*this, *s), y, scratch);
#pragma omp parallel for schedule(dynamic, 1) if (count > 1)
  for (Eigen::Index k = 0; k < count; ++k) {
    const Branch& branch = branches[static_cast<std::size_t>(k)];
    Eigen::VectorXf own_scratch(most_rows);
    for (std::int64_t s = branch.last; s-- > branch.first;)
      solve_backward(supernode(*this, s), y, own_scratch);
  }
  x.resize(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i) x(permutation[static_cast<std::size_t>(i)]) = y(i);
}

std::size_t SupernodalFactor::bytes() const {
  return (first_column.size() + row_start.size() + value_start.size() + trunk.size()) * sizeof(std::int64_t) +
         (row.size() + permutation.size() + trunk_column.size() + trunk_place.size()) * sizeof(std::int32_t) +
         value.size() * sizeof(float);
}

}  // namespace setstress
