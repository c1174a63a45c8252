#include "solver/linear/factor/supernodal_factor.hpp"

#include <algorithm>
#include <utility>

namespace setstress {

namespace {

constexpr std::int64_t worth_threads = 300'000;  // entries of the factor
// None with more than this share of the entries. Two threads solve a fifth faster with halves than with
// quarters (52,000 unknowns): more of the work is in branches, less in the trunk.
constexpr int wanted_branches = 2;
constexpr float largest = 32767;        // whole number in two bytes
constexpr float least_largest = 1e-4f;  // of a diagonal: finer units help nobody

/// Asks for the first numbers of a column that lies `ahead` of this one: the processor itself looks ahead
/// within a column, not from one to the next. At half a million unknowns solves take two thirds of the time.
inline void fetch(const std::int16_t* column, Eigen::Index ahead, Eigen::Index rows) {
  constexpr Eigen::Index line = 64 / sizeof(std::int16_t), most = 256;
  const auto from = reinterpret_cast<std::uintptr_t>(column);  // what is ahead of the last is no pointer
  for (Eigen::Index i = 0; i < std::min(rows, most); i += line)
    __builtin_prefetch(
        reinterpret_cast<const void*>(from + static_cast<std::uintptr_t>(ahead + i) * sizeof(std::int16_t)));
}

/// The three columns of a node, from its own diagonal down, in whole numbers.
struct NodeColumns {
  const std::int16_t *a, *b, *c;
  const float* inverse;  ///< of their diagonals: no division has to wait for what comes before

  NodeColumns(const std::int16_t* diagonal, Eigen::Index column_size, const float* inverses)
      : a(diagonal), b(a + column_size), c(b + column_size), inverse(inverses) {}

  /// y, the panel's rows from this node on: solves for its own three, and takes what they bring from the
  /// rest.
  void forward(float* y, Eigen::Index rows) const {
    for (const std::int16_t* column : {a, b, c}) fetch(column, 3 * (b - a), rows);
    const float x0 = y[0] * inverse[0];
    const float x1 = (y[1] - a[1] * x0) * inverse[1];
    const float x2 = (y[2] - a[2] * x0 - b[2] * x1) * inverse[2];
    y[0] = x0;
    y[1] = x1;
    y[2] = x2;
#pragma omp simd
    for (Eigen::Index i = 3; i < rows; ++i) y[i] -= a[i] * x0 + b[i] * x1 + c[i] * x2;
  }

  /// Solves for its own three, the rest of y being known.
  void backward(float* y, Eigen::Index rows) const {
    for (const std::int16_t* column : {a, b, c}) fetch(column, -3 * (b - a), rows);
    float x0 = 0, x1 = 0, x2 = 0;
#pragma omp simd reduction(+ : x0, x1, x2)
    for (Eigen::Index i = 3; i < rows; ++i) {
      x0 += a[i] * y[i];
      x1 += b[i] * y[i];
      x2 += c[i] * y[i];
    }
    y[2] = (y[2] - x2) * inverse[2];
    y[1] = (y[1] - x1 - b[2] * y[2]) * inverse[1];
    y[0] = (y[0] - x0 - a[1] * y[1] - a[2] * y[2]) * inverse[0];
  }
};

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

/// The columns of one supernode, a panel of `rows` by `columns`, and the rows below its own.
struct SupernodalFactor::Supernode {
  const std::int16_t* values;
  Eigen::Index rows, columns, first;
  const std::int32_t* row_below;
  const float *unit, *inverse;

  [[nodiscard]] NodeColumns node(Eigen::Index column) const {
    return {values + column * rows + column, rows, inverse + column};
  }
  /// Solves for its own unknowns; `entry(row)` is where what they take from another row is taken.
  template <typename Entry>
  void forward(Eigen::VectorXf& y, Eigen::VectorXf& scratch, const Entry& entry) const;
  void backward(Eigen::VectorXf& y, Eigen::VectorXf& scratch) const;
};

template <typename Entry>
void SupernodalFactor::Supernode::forward(Eigen::VectorXf& y, Eigen::VectorXf& scratch,
                                          const Entry& entry) const {
  auto own = y.segment(first, columns);
  scratch.head(columns) = own;
  scratch.segment(columns, rows - columns).setZero();
  for (Eigen::Index j = 0; j < columns; j += 3) node(j).forward(scratch.data() + j, rows - j);
  own = scratch.head(columns);
  for (Eigen::Index i = columns; i < rows; ++i) entry(row_below[i - columns]) += scratch(i);
}

/// Whole numbers N and units U make up L = N U: between N and N' two units have to be divided by.
void SupernodalFactor::Supernode::backward(Eigen::VectorXf& y, Eigen::VectorXf& scratch) const {
  auto own = y.segment(first, columns);
  scratch.head(columns) = own.array() / Eigen::Map<const Eigen::ArrayXf>(unit, columns).square();
  for (Eigen::Index i = columns; i < rows; ++i) scratch(i) = y(row_below[i - columns]);
  for (Eigen::Index j = columns - 3; j >= 0; j -= 3) node(j).backward(scratch.data() + j, rows - j);
  own = scratch.head(columns);
}

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

SupernodalFactor::Supernode SupernodalFactor::supernode(std::int64_t number) const {
  const SupernodalPattern& p = *pattern_;
  const auto s = static_cast<std::size_t>(number);
  const Eigen::Index columns = p.columns(number), first = p.first_column[s];
  return {value_.data() + p.value_start[s],
          p.rows(number),
          columns,
          first,
          p.row.data() + p.row_start[s] + columns,
          unit_.data() + first,
          inverse_.data() + first};
}

void SupernodalFactor::begin(std::shared_ptr<const SupernodalPattern> pattern,
                             const Eigen::VectorXd& diagonal) {
  pattern_ = std::move(pattern);
  value_.resize(pattern_->entries());
  scale_ = diagonal.cwiseSqrt().cwiseInverse().cast<float>();
  unit_.resize(diagonal.size());
  inverse_.resize(diagonal.size());
}

void SupernodalFactor::store(std::int64_t supernode, const Eigen::Ref<const Eigen::MatrixXf>& panel) {
  const auto s = static_cast<std::size_t>(supernode);
  const std::int32_t* row = pattern_->row.data() + pattern_->row_start[s];
  Eigen::ArrayXf scale(panel.rows()), entries(panel.rows());
  for (Eigen::Index i = 0; i < scale.size(); ++i) scale(i) = scale_(row[i]);
  std::int16_t* values = value_.data() + pattern_->value_start[s];
  for (Eigen::Index j = 0; j < panel.cols(); ++j, values += panel.rows()) {
    const Eigen::Index column = pattern_->first_column[s] + j, count = panel.rows() - j;
    auto kept = entries.tail(count);
    kept = panel.col(j).tail(count).array() * scale.tail(count);
    float most = least_largest * kept(0);
    if (count > 1) most = std::max(most, kept.tail(count - 1).abs().maxCoeff());
    unit_(column) = most / largest;
    inverse_(column) = unit_(column) / kept(0);
    std::fill_n(values, j + 1, std::int16_t{0});
    kept *= 1 / unit_(column);
    const float* from = entries.data();
#pragma omp simd
    for (Eigen::Index i = j + 1; i < panel.rows(); ++i)
      values[i] =
          static_cast<std::int16_t>(static_cast<std::int32_t>(from[i] + (from[i] < 0 ? -0.5f : 0.5f)));
  }
}

Eigen::MatrixXf SupernodalFactor::panel(std::int64_t number) const {
  const Supernode node = supernode(number);
  Eigen::MatrixXf result = Eigen::Map<const Eigen::Matrix<std::int16_t, Eigen::Dynamic, Eigen::Dynamic>>(
                               node.values, node.rows, node.columns)
                               .cast<float>();
  for (Eigen::Index j = 0; j < node.columns; ++j) {
    result(j, j) = 1 / node.inverse[j];
    result.col(j) *= node.unit[j];
  }
  return result;
}

void SupernodalFactor::solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) const {
  const SupernodalPattern& p = *pattern_;
  Eigen::VectorXf y(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i)
    y(i) = scale_(i) * b(p.permutation[static_cast<std::size_t>(i)]);
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
      supernode(s).forward(y, scratch, [&](std::int32_t at) -> float& {
        return at < end ? y(at) : on_trunk(p.trunk_place[static_cast<std::size_t>(at)], k);
      });
  }
  for (Eigen::Index k = 0; k < count; ++k)
    for (std::size_t i = 0; i < p.trunk_column.size(); ++i)
      y(p.trunk_column[i]) += on_trunk(static_cast<Eigen::Index>(i), k);
  Eigen::VectorXf scratch(p.most_rows);
  for (const std::int64_t s : p.trunk)
    supernode(s).forward(y, scratch, [&](std::int32_t at) -> float& { return y(at); });
  for (auto s = p.trunk.rbegin(); s != p.trunk.rend(); ++s) supernode(*s).backward(y, scratch);
#pragma omp parallel for schedule(dynamic, 1) if (count > 1)
  for (Eigen::Index k = 0; k < count; ++k) {
    const SupernodalPattern::Branch& branch = p.branches[static_cast<std::size_t>(k)];
    Eigen::VectorXf own_scratch(p.most_rows);
    for (std::int64_t s = branch.last; s-- > branch.first;) supernode(s).backward(y, own_scratch);
  }
  x.resize(b.size());
  for (Eigen::Index i = 0; i < y.size(); ++i)
    x(p.permutation[static_cast<std::size_t>(i)]) = scale_(i) * y(i);
}

std::size_t SupernodalPattern::bytes() const {
  return (first_column.size() + row_start.size() + value_start.size() + trunk.size()) * sizeof(std::int64_t) +
         (row.size() + permutation.size() + trunk_column.size() + trunk_place.size()) * sizeof(std::int32_t) +
         children.size() * (sizeof(children[0]) + sizeof(std::int64_t));
}

std::size_t SupernodalFactor::bytes() const {
  return value_.size() * sizeof(std::int16_t) +
         static_cast<std::size_t>(scale_.size() + unit_.size() + inverse_.size()) * sizeof(float);
}

}  // namespace setstress
