#include "solver/linear/factor/block_cholesky.hpp"

#include <cholmod.h>
#include <fmt/format.h>

#include <algorithm>
#include <mutex>
#include <stdexcept>

#include "solver/linear/matrix/not_positive_definite.hpp"

/// Present when the BLAS behind CHOLMOD is OpenBLAS.
extern "C" void openblas_set_num_threads(int threads) __attribute__((weak));

namespace setstress {

void set_factor_threads(int threads) {
  if (openblas_set_num_threads) openblas_set_num_threads(threads);
}

namespace {

using Integer = SuiteSparse_long;

/// CHOLMOD reports by status; we throw.
void require(bool success, const cholmod_common& common, const char* what) {
  if (!success || common.status < CHOLMOD_OK)
    throw std::runtime_error(fmt::format("CHOLMOD could not {} (status {}{})", what, common.status,
                                         common.status == CHOLMOD_OUT_OF_MEMORY ? ": out of memory" : ""));
}

/// Blocks of row j with column >= j, which are the lower triangle of column j.
std::size_t first_lower(const std::vector<std::size_t>& row_start, const std::vector<int>& column, int row) {
  std::size_t k = row_start[static_cast<std::size_t>(row)];
  while (column[k] < row) ++k;
  return k;
}

}  // namespace

struct BlockCholesky::Workspace {
  const int nodes;
  const std::vector<std::size_t> row_start;
  const std::vector<int> column;
  cholmod_common common;
  cholmod_sparse* matrix = nullptr;  ///< scalar lower triangle by columns
  cholmod_factor* factor = nullptr;
  cholmod_dense *solution = nullptr, *scratch_y = nullptr, *scratch_e = nullptr;

  explicit Workspace(const BlockPattern& pattern)
      : nodes(pattern.nodes), row_start(pattern.row_start), column(pattern.column) {
    cholmod_l_start(&common);
    common.print = 0;
    common.supernodal = CHOLMOD_SUPERNODAL;
    common.nmethods = 1;
    common.method[0].ordering = CHOLMOD_GIVEN;
    // Wider supernodes than CHOLMOD's own 4, 16, 48 and 0.8, 0.1, 0.05: nodes come in threes. A coarse level
    // of 20,000 unknowns is factorised in five sixths of the time.
    common.nrelax[0] = 8, common.nrelax[1] = 32, common.nrelax[2] = 96;
    common.zrelax[0] = 0.8, common.zrelax[1] = 0.2, common.zrelax[2] = 0.1;
  }
  ~Workspace() {
    cholmod_l_free_dense(&solution, &common);
    cholmod_l_free_dense(&scratch_y, &common);
    cholmod_l_free_dense(&scratch_e, &common);
    cholmod_l_free_factor(&factor, &common);
    cholmod_l_free_sparse(&matrix, &common);
    cholmod_l_finish(&common);
  }
  Workspace(const Workspace& other) : Workspace(BlockPattern{other.nodes, other.row_start, other.column}) {
    matrix = cholmod_l_copy_sparse(other.matrix, &common);
    require(matrix != nullptr, common, "copy the matrix");
    factor = cholmod_l_copy_factor(other.factor, &common);
    require(factor != nullptr, common, "copy the analysis");
    common.fl = other.common.fl;
    common.lnz = other.common.lnz;
  }
  Workspace& operator=(const Workspace&) = delete;

  std::vector<Integer> order_unknowns();
  void allocate_matrix();
  void fill_matrix(const std::vector<Block>& values);
};

/// Nested dissection of the nodes, spread to their three unknowns.
std::vector<Integer> BlockCholesky::Workspace::order_unknowns() {
  const auto n = static_cast<std::size_t>(nodes);
  cholmod_sparse* graph = cholmod_l_allocate_sparse(n, n, column.size(), 1, 1, -1, CHOLMOD_PATTERN, &common);
  require(graph != nullptr, common, "allocate the node graph");
  auto* start = static_cast<Integer*>(graph->p);
  auto* index = static_cast<Integer*>(graph->i);
  Integer count = 0;
  for (int j = 0; j < nodes; ++j) {
    start[j] = count;
    for (std::size_t k = first_lower(row_start, column, j); k < row_start[static_cast<std::size_t>(j) + 1];
         ++k)
      index[count++] = column[k];
  }
  start[nodes] = count;
  std::vector<Integer> by_node(n);
  const bool ordered = cholmod_l_metis(graph, nullptr, 0, 1, by_node.data(), &common) != 0;
  cholmod_l_free_sparse(&graph, &common);
  require(ordered, common, "order the nodes");
  std::vector<Integer> result;
  result.reserve(3 * n);
  for (const Integer node : by_node)
    for (int component = 0; component < 3; ++component) result.push_back(3 * node + component);
  return result;
}

void BlockCholesky::Workspace::allocate_matrix() {
  const auto n = 3 * static_cast<std::size_t>(nodes);
  const std::size_t lower =
      9 * (column.size() - row_start.size() + 1) / 2 + 6 * static_cast<std::size_t>(nodes);
  matrix = cholmod_l_allocate_sparse(n, n, lower, 1, 1, -1, CHOLMOD_REAL, &common);
  require(matrix != nullptr, common, "allocate the matrix");
  auto* start = static_cast<Integer*>(matrix->p);
  auto* index = static_cast<Integer*>(matrix->i);
  Integer count = 0;
  for (int j = 0; j < nodes; ++j)
    for (int component = 0; component < 3; ++component) {
      start[3 * j + component] = count;
      for (std::size_t k = first_lower(row_start, column, j); k < row_start[static_cast<std::size_t>(j) + 1];
           ++k)
        for (int i = column[k] == j ? component : 0; i < 3; ++i) index[count++] = 3 * column[k] + i;
    }
  start[n] = count;
}

void BlockCholesky::Workspace::fill_matrix(const std::vector<Block>& values) {
  const auto* start = static_cast<const Integer*>(matrix->p);
  auto* entry = static_cast<double*>(matrix->x);
#pragma omp parallel for schedule(static) if (nodes > 8000)
  for (int j = 0; j < nodes; ++j)
    for (int component = 0; component < 3; ++component) {
      double* next = entry + start[3 * j + component];
      for (std::size_t k = first_lower(row_start, column, j); k < row_start[static_cast<std::size_t>(j) + 1];
           ++k)
        for (int i = column[k] == j ? component : 0; i < 3; ++i) *next++ = values[k](component, i);
    }
}

BlockCholesky::BlockCholesky(const BlockPattern& pattern) : work_(std::make_unique<Workspace>(pattern)) {
  static std::once_flag repeatable;
  std::call_once(repeatable, [] { set_factor_threads(1); });
  work_->allocate_matrix();
  std::vector<Integer> order = work_->order_unknowns();
  work_->factor = cholmod_l_analyze_p(work_->matrix, order.data(), nullptr, 0, &work_->common);
  require(work_->factor != nullptr, work_->common, "analyse the matrix");
}

BlockCholesky::BlockCholesky(const BlockCholesky& other) : work_(std::make_unique<Workspace>(*other.work_)) {}

BlockCholesky::~BlockCholesky() = default;

void BlockCholesky::factorise(const std::vector<Block>& values) {
  work_->fill_matrix(values);
  cholmod_common& common = work_->common;
  cholmod_l_factorize(work_->matrix, work_->factor, &common);
  if (common.status == CHOLMOD_NOT_POSDEF) {
    const Integer column = static_cast<const Integer*>(work_->factor->Perm)[work_->factor->minor];
    throw NotPositiveDefinite(static_cast<int>(column / 3), static_cast<int>(column % 3));
  }
  require(common.status == CHOLMOD_OK, common, "factorise the matrix");
}

void BlockCholesky::solve(const Eigen::VectorXd& b, Eigen::VectorXd& x) {
  cholmod_dense right_hand_side{};
  right_hand_side.nrow = right_hand_side.d = right_hand_side.nzmax = static_cast<std::size_t>(b.size());
  right_hand_side.ncol = 1;
  right_hand_side.x = const_cast<double*>(b.data());  // CHOLMOD reads it only
  right_hand_side.xtype = CHOLMOD_REAL;
  right_hand_side.dtype = CHOLMOD_DOUBLE;
  const int solved = cholmod_l_solve2(CHOLMOD_A, work_->factor, &right_hand_side, nullptr, &work_->solution,
                                      nullptr, &work_->scratch_y, &work_->scratch_e, &work_->common);
  require(solved != 0, work_->common, "solve");
  x = Eigen::Map<const Eigen::VectorXd>(static_cast<const double*>(work_->solution->x), b.size());
}

SupernodalPattern BlockCholesky::pattern() const {
  const cholmod_factor& factor = *work_->factor;
  const auto supernodes = static_cast<std::size_t>(factor.nsuper);
  const auto* first = static_cast<const Integer*>(factor.super);
  const auto* rows = static_cast<const Integer*>(factor.pi);
  const auto* values = static_cast<const Integer*>(factor.px);
  const auto* row = static_cast<const Integer*>(factor.s);
  const auto* order = static_cast<const Integer*>(factor.Perm);
  SupernodalPattern out;
  out.first_column.assign(first, first + supernodes + 1);
  out.row_start.assign(rows, rows + supernodes + 1);
  out.value_start.assign(values, values + supernodes + 1);
  out.row.assign(row, row + rows[supernodes]);
  out.permutation.assign(order, order + factor.n);
  out.find_tree();
  return out;
}

void BlockCholesky::copy_to(std::shared_ptr<const SupernodalPattern> pattern,
                            SupernodalFactor& factor) const {
  const auto* first_in_column = static_cast<const Integer*>(work_->matrix->p);
  const auto* entry = static_cast<const double*>(work_->matrix->x);
  const auto* values = static_cast<const double*>(work_->factor->x);
  Eigen::VectorXd diagonal(static_cast<Eigen::Index>(pattern->permutation.size()));
  for (Eigen::Index i = 0; i < diagonal.size(); ++i)
    diagonal(i) = entry[first_in_column[pattern->permutation[static_cast<std::size_t>(i)]]];
  factor.begin(pattern, diagonal);
#pragma omp parallel for schedule(dynamic, 8) if (pattern->entries() > 1000000)
  for (std::int64_t s = 0; s < pattern->supernodes(); ++s)
    factor.store(s,
                 Eigen::Map<const Eigen::MatrixXd>(values + pattern->value_start[static_cast<std::size_t>(s)],
                                                   pattern->rows(s), pattern->columns(s))
                     .cast<float>());
}

double BlockCholesky::operations() const {
  return work_->common.fl;
}

std::size_t BlockCholesky::bytes() const {
  return work_->common.memory_inuse;
}

}  // namespace setstress
