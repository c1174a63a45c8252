#pragma once
// The coarse solve on a GPU: the inverse of the leader's coarse matrix, dense. A factor's columns come one
// after the other; a dense product has none to wait for.

#include "solver/lanes/gpu/gpu_memory.cuh"
#include "solver/lanes/lane_data.hpp"

namespace setstress {

class DenseCorners {
 public:
  DenseCorners();
  DenseCorners(DenseCorners&& other) noexcept;
  ~DenseCorners();

  /// Memory goes with the square of the corners: 36 bytes times that, and as much to work in.
  void assign(const LaneFactor& factor);
  [[nodiscard]] std::size_t entries() const { return inverse_.size(); }
  /// x := A^-1 b, lanes innermost.
  void solve(const GpuQueue& queue, const GpuArray<float>& b, GpuArray<float>& x, int lanes);

 private:
  GpuArray<float> value_, scale_, lower_, inverse_, work_, scratch_;
  GpuArray<std::int64_t> first_column_, row_start_, value_start_;
  GpuArray<std::int32_t> row_, unknown_;
  GpuArray<int> failed_;
  int unknowns_ = 0;
  cublasHandle_t blas_ = nullptr;
  cusolverDnHandle_t solver_ = nullptr;
};

}  // namespace setstress
