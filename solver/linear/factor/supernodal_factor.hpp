#pragma once
// A Cholesky factor for use as a preconditioner, two bytes an entry: a quarter of the original's memory
// traffic.

#include <Eigen/Core>
#include <cstdint>
#include <memory>
#include <vector>

#include "solver/linear/factor/large_array.hpp"

namespace setstress {

/// The pattern of L in P A P' = L L' by supernodes: runs of columns with the same pattern below, stored as
/// one dense column-major panel whose first rows are the (lower triangular) diagonal block.
struct SupernodalPattern {
  /// Supernodes first to last - 1: whole subtrees of the elimination tree, so that branches touch nothing of
  /// each other and may be worked on at the same time. What all of them lead to is the trunk.
  struct Branch {
    std::int64_t first, last;
  };

  std::vector<std::int64_t> first_column;  ///< supernodes + 1 entries
  std::vector<std::int64_t> row_start;     ///< supernodes + 1 entries: first place in `row`
  std::vector<std::int64_t> value_start;   ///< supernodes + 1 entries: first place among the values
  std::vector<std::int32_t> row;           ///< of each panel row, its own columns first
  std::vector<std::int32_t> permutation;   ///< by position in L: position in A

  // Found from the above:
  std::vector<std::vector<std::int64_t>> children;  ///< by supernode, in the elimination tree; roots last
  std::int64_t most_rows = 0;                       ///< of any panel
  std::vector<Branch> branches;
  std::vector<std::int64_t> trunk;         ///< supernodes in no branch, ascending
  std::vector<std::int32_t> trunk_column;  ///< positions in L of the trunk's columns, ascending
  std::vector<std::int32_t> trunk_place;   ///< by position in L: place in `trunk_column`, or -1

  /// Finds the tree, its branches and trunk. They depend on the pattern alone, never on the number of
  /// threads. A small factor is all trunk: threads would lose more by meeting than they gain.
  void find_tree();
  [[nodiscard]] std::int64_t supernodes() const { return static_cast<std::int64_t>(first_column.size()) - 1; }
  [[nodiscard]] Eigen::Index columns(std::int64_t supernode) const;
  [[nodiscard]] Eigen::Index rows(std::int64_t supernode) const;
  [[nodiscard]] std::size_t entries() const { return static_cast<std::size_t>(value_start.back()); }
  [[nodiscard]] std::size_t bytes() const;
};

/// L in P A P' = L L', for solves in single precision. With A scaled to a unit diagonal no entry of L is
/// larger than 1; a column is kept as whole numbers of its own unit, the 32767th of its largest entry below
/// the diagonal, and its diagonal as it was. Rounded so, L L' stays symmetric and positive definite, and a
/// smooth displacement meets thousands of entries whose errors average out (solver/README.md has the
/// iterations).
class SupernodalFactor {
 public:
  /// Makes room. `diagonal` of A, by position in L.
  void begin(std::shared_ptr<const SupernodalPattern> pattern, const Eigen::VectorXd& diagonal);
  /// Takes over the panel of one supernode, of which the lower triangle counts. Threads may do so at the same
  /// time, each for other supernodes.
  void store(std::int64_t supernode, const Eigen::Ref<const Eigen::MatrixXf>& panel);
  /// The panel as it is kept, that of the scaled A, zero above the diagonal.
  [[nodiscard]] Eigen::MatrixXf panel(std::int64_t supernode) const;
  [[nodiscard]] const SupernodalPattern& pattern() const { return *pattern_; }
  /// By position in L: what rows and columns of A are multiplied with.
  [[nodiscard]] const Eigen::VectorXf& scale() const { return scale_; }
  /// x := A^-1 b. The columns of a supernode come in threes, one node's.
  void solve(const Eigen::VectorXf& b, Eigen::VectorXf& x) const;
  [[nodiscard]] std::size_t bytes() const;

 private:
  struct Supernode;
  [[nodiscard]] Supernode supernode(std::int64_t number) const;

  std::shared_ptr<const SupernodalPattern> pattern_;
  LargeArray<std::int16_t> value_;
  Eigen::VectorXf scale_;
  Eigen::VectorXf unit_;     ///< by column
  Eigen::VectorXf inverse_;  ///< by column: unit over diagonal
};

}  // namespace setstress
