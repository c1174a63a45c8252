#include "solver/lanes/gpu/dense_corners.cuh"

namespace setstress {

namespace {

constexpr std::size_t scratch_numbers = std::size_t{8} << 20;  // 32 MiB, what cuBLAS asks for on Hopper

/// A block a supernode: its panel, to its places in a dense lower triangle, column by column.
__global__ void unfold(const std::int64_t* first_column, const std::int64_t* row_start,
                       const std::int64_t* value_start, const std::int32_t* row, const float* value, int n,
                       float* lower) {
  const std::int64_t s = blockIdx.x;
  const std::int64_t columns = first_column[s + 1] - first_column[s], rows = row_start[s + 1] - row_start[s];
  for (std::int64_t k = threadIdx.x; k < columns * rows; k += blockDim.x) {
    const std::int64_t i = k % rows, j = k / rows;
    if (i >= j) lower[(first_column[s] + j) * n + row[row_start[s] + i]] = value[value_start[s] + k];
  }
}

/// From the lower triangle of the inverse, by position in the factor, to both, by unknown.
__global__ void spread(const float* lower, const std::int32_t* unknown, const float* scale, int n,
                       float* inverse) {
  const std::size_t k = static_cast<std::size_t>(blockIdx.x) * blockDim.x + threadIdx.x;
  const auto size = static_cast<std::size_t>(n);
  if (k >= size * size) return;
  const std::size_t i = k % size, j = k / size;
  const float entry = i >= j ? lower[j * size + i] : lower[i * size + j];
  inverse[static_cast<std::size_t>(unknown[j]) * size + static_cast<std::size_t>(unknown[i])] =
      scale[i] * scale[j] * entry;
}

}  // namespace

DenseCorners::DenseCorners() {
  check(cublasCreate(&blas_), "start cuBLAS");
  check(cusolverDnCreate(&solver_), "start cuSOLVER");
  scratch_.resize(scratch_numbers);  // of its own: while steps are recorded nothing can be allocated
}
DenseCorners::DenseCorners(DenseCorners&& other) noexcept
    : scratch_(std::move(other.scratch_)),  // nothing else is there before a factor is assigned
      blas_(std::exchange(other.blas_, nullptr)),
      solver_(std::exchange(other.solver_, nullptr)) {}
DenseCorners::~DenseCorners() {
  if (blas_ != nullptr) cublasDestroy(blas_);
  if (solver_ != nullptr) cusolverDnDestroy(solver_);
}

void DenseCorners::assign(const LaneFactor& factor) {
  first_column_.copy(factor.first_column);
  row_start_.copy(factor.row_start);
  value_start_.copy(factor.value_start);
  row_.copy(factor.row);
  value_.copy(factor.value);
  unknown_.copy(factor.unknown);
  scale_.copy(factor.scale);
  unknowns_ = static_cast<int>(factor.unknown.size());
  if (unknowns_ == 0) return;
  const auto n = static_cast<std::size_t>(unknowns_);
  lower_.resize(n * n);
  lower_.fill(0);
  inverse_.resize(n * n);
  unfold<<<static_cast<unsigned>(factor.first_column.size() - 1), 256>>>(
      first_column_.data(), row_start_.data(), value_start_.data(), row_.data(), value_.data(), unknowns_,
      lower_.data());
  int size = 0;
  check(cusolverDnSpotri_bufferSize(solver_, CUBLAS_FILL_MODE_LOWER, unknowns_, lower_.data(), unknowns_,
                                    &size),
        "plan the coarse inverse");
  if (static_cast<std::size_t>(size) > work_.size()) work_.resize(static_cast<std::size_t>(size));
  failed_.resize(1);
  check(cusolverDnSpotri(solver_, CUBLAS_FILL_MODE_LOWER, unknowns_, lower_.data(), unknowns_, work_.data(),
                         size, failed_.data()),
        "invert the coarse matrix");
  int failed = 0;
  check(cudaMemcpy(&failed, failed_.data(), sizeof failed, cudaMemcpyDeviceToHost),
        "invert the coarse matrix");
  if (failed != 0) throw std::runtime_error("the GPU found no inverse of the coarse matrix");
  spread<<<static_cast<unsigned>((n * n + 255) / 256), 256>>>(lower_.data(), unknown_.data(), scale_.data(),
                                                              unknowns_, inverse_.data());
  check(cudaGetLastError(), "invert the coarse matrix");
}

/// By columns, lanes innermost is the transpose, and the inverse is symmetric: x' = b' A^-1.
void DenseCorners::solve(const GpuQueue& queue, const GpuArray<float>& b, GpuArray<float>& x, int lanes) {
  if (unknowns_ == 0) return;
  check(cublasSetStream(blas_, queue.get()), "queue a product");
  check(cublasSetWorkspace(blas_, scratch_.data(), scratch_.size() * sizeof(float)), "queue a product");
  const float one = 1, none = 0;
  check(cublasSgemm(blas_, CUBLAS_OP_N, CUBLAS_OP_N, lanes, unknowns_, unknowns_, &one, b.data(), lanes,
                    inverse_.data(), unknowns_, &none, x.data(), lanes),
        "multiply by the coarse inverse");
}

}  // namespace setstress
