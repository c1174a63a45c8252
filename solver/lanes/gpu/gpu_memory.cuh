#pragma once
// A GPU's memory, and what its library calls say.

#include <cublas_v2.h>
#include <cuda_runtime.h>
#include <cusolverDn.h>

#include <algorithm>
#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace setstress {

inline void check(cudaError_t status, const char* what) {
  if (status != cudaSuccess)
    throw std::runtime_error(std::string("the GPU failed to ") + what + ": " + cudaGetErrorString(status));
}
inline void check(cublasStatus_t status, const char* what) {
  if (status != CUBLAS_STATUS_SUCCESS)
    throw std::runtime_error(std::string("the GPU failed to ") + what + ": " + cublasGetStatusString(status));
}
inline void check(cusolverStatus_t status, const char* what) {
  if (status != CUSOLVER_STATUS_SUCCESS)
    throw std::runtime_error(std::string("the GPU failed to ") + what + ": cuSOLVER status " +
                             std::to_string(static_cast<int>(status)));
}

/// Work in order; what is copied or cleared waits for it, and it for that.
class GpuQueue {
 public:
  GpuQueue() { check(cudaStreamCreate(&stream_), "open a queue"); }
  GpuQueue(GpuQueue&& other) noexcept : stream_(std::exchange(other.stream_, nullptr)) {}
  ~GpuQueue() {
    if (stream_ != nullptr) cudaStreamDestroy(stream_);
  }
  [[nodiscard]] cudaStream_t get() const { return stream_; }

 private:
  cudaStream_t stream_ = nullptr;
};

/// A stretch of work that is done again and again with the same arrays: beginning its hundred kernels one by
/// one takes longer than many of them do.
class GpuRecording {
 public:
  GpuRecording() = default;
  GpuRecording(const GpuRecording&) = delete;
  GpuRecording& operator=(const GpuRecording&) = delete;
  ~GpuRecording() { forget(); }

  /// Where arrays or numbers of things may have changed.
  void forget() {
    if (graph_ != nullptr) cudaGraphExecDestroy(std::exchange(graph_, nullptr));
  }
  /// Records work() the first time.
  template <typename Work>
  void play(const GpuQueue& queue, const Work& work) {
    if (graph_ == nullptr) {
      cudaGraph_t recorded = nullptr;
      check(cudaStreamBeginCapture(queue.get(), cudaStreamCaptureModeThreadLocal), "record steps");
      work();
      check(cudaStreamEndCapture(queue.get(), &recorded), "record steps");
      check(cudaGraphInstantiate(&graph_, recorded, 0), "record steps");
      cudaGraphDestroy(recorded);
    }
    check(cudaGraphLaunch(graph_, queue.get()), "begin recorded steps");
  }

 private:
  cudaGraphExec_t graph_ = nullptr;
};

/// Numbers on the GPU.
template <typename T>
class GpuArray {
 public:
  GpuArray() = default;
  GpuArray(GpuArray&& other) noexcept { *this = std::move(other); }
  GpuArray& operator=(GpuArray&& other) noexcept {
    std::swap(data_, other.data_);
    std::swap(count_, other.count_);
    return *this;
  }
  ~GpuArray() { cudaFree(data_); }

  /// Zeros, where the size is another than before.
  void resize(std::size_t count) {
    if (count == count_) return;
    cudaFree(std::exchange(data_, nullptr));
    count_ = 0;
    if (count == 0) return;
    const std::string need = "give " + std::to_string((count * sizeof(T)) >> 20) + " MiB of memory";
    check(cudaMalloc(reinterpret_cast<void**>(&data_), count * sizeof(T)), need.c_str());
    count_ = count;
    fill(0);
  }
  void copy(const std::vector<T>& from) {
    resize(from.size());
    if (count_ > 0)
      check(cudaMemcpy(data_, from.data(), count_ * sizeof(T), cudaMemcpyHostToDevice), "take numbers");
  }
  void fill(T value) {
    if (value != T{}) throw std::logic_error("a GPU's numbers are filled with zero alone");
    if (count_ > 0) check(cudaMemset(data_, 0, count_ * sizeof(T)), "clear numbers");
  }
  [[nodiscard]] T* data() { return data_; }
  [[nodiscard]] const T* data() const { return data_; }
  [[nodiscard]] std::size_t size() const { return count_; }

 private:
  T* data_ = nullptr;
  std::size_t count_ = 0;
};

/// Memory of the host that the GPU can reach by itself: twice as fast to copy.
class PinnedNumbers {
 public:
  explicit PinnedNumbers(std::size_t count) {
    check(cudaMallocHost(reinterpret_cast<void**>(&data_), count * sizeof(float)),
          "share memory of the host");
  }
  PinnedNumbers(PinnedNumbers&& other) noexcept : data_(std::exchange(other.data_, nullptr)) {}
  ~PinnedNumbers() { cudaFreeHost(data_); }
  [[nodiscard]] float* data() const { return data_; }

 private:
  float* data_ = nullptr;
};

}  // namespace setstress
