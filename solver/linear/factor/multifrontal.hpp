#pragma once
// Cholesky factorisation in single precision, by the multifrontal method.

#include <cstdint>
#include <memory>
#include <vector>

#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/factor/supernodal_factor.hpp"

namespace setstress {

/// A preconditioner's factor needs no more than single precision: less memory, twice the speed of CHOLMOD,
/// whose present release in Debian has double precision only. Each supernode gathers in one dense front what
/// the matrix and its children bring to its columns and to the rows below, eliminates its columns and hands
/// the rest to its parent (Duff and Reid 1983, ACM Trans. Math. Softw. 9, 302). Never changes, so that
/// solvers may share it, from several threads too.
class Multifrontal {
 public:
  /// Both of the same matrix, whose unknowns come in threes. Throws std::invalid_argument if they do not in
  /// the factor's pattern.
  Multifrontal(const BlockPattern& matrix, std::shared_ptr<const SupernodalPattern> pattern);
  /// Values by the matrix' pattern. True if the factor is good for preconditioning; false if a pivot is not
  /// positive or has lost more than five of its seven digits. Results do not depend on the number of threads.
  [[nodiscard]] bool factorise(const std::vector<Block>& values, SupernodalFactor& factor) const;
  [[nodiscard]] const std::shared_ptr<const SupernodalPattern>& pattern() const { return pattern_; }
  [[nodiscard]] std::size_t bytes() const;

 private:
  /// A block of the matrix in a front: nodes counted from the front's first.
  struct Entry {
    std::uint32_t source;  ///< position in the matrix' values, transposed
    std::int32_t row, column;
  };
  class Stack;

  void find_entries(const BlockPattern& matrix);
  void find_targets();
  [[nodiscard]] Eigen::VectorXd diagonal(const std::vector<Block>& values) const;
  [[nodiscard]] std::size_t stack_size(const std::vector<std::int64_t>& supernodes) const;
  [[nodiscard]] std::int64_t nodes_below(std::int64_t supernode) const {
    return (pattern_->rows(supernode) - pattern_->columns(supernode)) / 3;
  }
  bool eliminate(std::int64_t supernode, const std::vector<Block>& values, SupernodalFactor& factor,
                 std::vector<float*>& remainder, Stack& stack) const;

  std::shared_ptr<const SupernodalPattern> pattern_;
  std::vector<std::size_t> entry_start_;  ///< by supernode
  std::vector<Entry> entry_;
  std::vector<std::size_t> target_start_;  ///< by supernode
  std::vector<std::int32_t> target_;       ///< of each node below: its place in the parent's front
  std::vector<std::size_t> branch_stack_;  ///< numbers that each branch's stack must hold
  std::size_t trunk_stack_ = 0;
};

}  // namespace setstress
