#pragma once
// Sparse Cholesky factorisation of a symmetric matrix of 3 x 3 node blocks (CHOLMOD, supernodal, METIS
// ordering).

#include <Eigen/Core>
#include <cstddef>
#include <memory>
#include <vector>

#include "solver/linear/factor/supernodal_factor.hpp"
#include "solver/linear/matrix/block_matrix.hpp"

namespace setstress {

/// Full rows of node blocks, columns ascending within a row; what NodeGraph and BlockMatrix hold.
struct BlockPattern {
  int nodes;
  const std::vector<std::size_t>& row_start;
  const std::vector<int>& column;
};

/// Threads inside the dense kernels of the factorisation, for the whole program; 1 unless set. With more,
/// OpenBLAS gains speed and results change in their last bits. Does nothing for other BLAS libraries.
void set_factor_threads(int threads);

/// Ordering and symbolic analysis once, numeric factorisation as often as wanted.
class BlockCholesky {
 public:
  /// Nodes are ordered by nested dissection, three unknowns each staying together: nine times less work for
  /// METIS than on the scalar matrix, and as good an order. Throws std::runtime_error if CHOLMOD or METIS
  /// fail.
  explicit BlockCholesky(const BlockPattern& pattern);
  ~BlockCholesky();
  /// Takes over order and analysis, so that only values have to follow. `other` must not have any yet.
  BlockCholesky(const BlockCholesky& other);
  BlockCholesky& operator=(const BlockCholesky&) = delete;

  /// Factorises new values on the same pattern. Throws NotPositiveDefinite with the place.
  void factorise(const std::vector<Block>& values);
  /// x := A^-1 b of the last factorised values.
  void solve(const Eigen::VectorXd& b, Eigen::VectorXd& x);
  /// Of the factor, from the analysis.
  [[nodiscard]] SupernodalPattern pattern() const;
  /// The last factor; `pattern` is that of pattern().
  void copy_to(std::shared_ptr<const SupernodalPattern> pattern, SupernodalFactor& factor) const;
  [[nodiscard]] double operations() const;  ///< of one factorisation, from the analysis
  [[nodiscard]] std::size_t bytes() const;

 private:
  struct Workspace;
  std::unique_ptr<Workspace> work_;
};

}  // namespace setstress
