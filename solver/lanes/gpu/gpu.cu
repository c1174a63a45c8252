// Lanes on a GPU: a thread a lane and item, so that the lanes of one item read what they share at once.

#include <algorithm>

#include "solver/lanes/coloring.hpp"
#include "solver/lanes/gpu/dense_corners.cuh"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "solver/lanes/gpu/gpu_memory.cuh"
#include "solver/lanes/lane_engine.hpp"

namespace setstress {

namespace {

constexpr int lanes_per_block = 32;
/// Of a block whose threads share items in so many parts.
template <int parts>
constexpr int items_per_block = gpu_threads_per_block / lanes_per_block / parts;
constexpr std::size_t numbers_at_once = std::size_t{1} << 24;  // that cross to the GPU or back

/// Neighbouring blocks have the same items and other lanes: what those share comes from memory once.
template <typename Kernel>
__global__ void call(Kernel kernel, int first, int count, int groups) {
  const int group = static_cast<int>(blockIdx.x) % groups;
  const int item =
      static_cast<int>(blockIdx.x) / groups * items_per_block<Kernel::parts> + static_cast<int>(threadIdx.y);
  if (item >= count) return;
  const auto lanes = static_cast<std::size_t>(groups) * lanes_per_block;
  kernel(first + item,
         OneLane<Kernel::parts>{lanes, static_cast<std::size_t>(group) * lanes_per_block + threadIdx.x});
}

/// By lane, in double precision.
__global__ void add_chunks(const float* sums, int chunks, int lanes, double* total) {
  const int lane = static_cast<int>(blockIdx.x * blockDim.x + threadIdx.x);
  if (lane >= lanes) return;
  double sum = 0;
  for (int chunk = 0; chunk < chunks; ++chunk)
    sum += static_cast<double>(sums[static_cast<std::size_t>(chunk) * static_cast<std::size_t>(lanes) +
                                    static_cast<std::size_t>(lane)]);
  total[lane] = sum;
}

/// Numbers of some lanes, each lane's together, to or from an array with lanes innermost. A block a tile of
/// 32 numbers of 32 lanes, turned in shared memory so that both sides are read and written in rows.
template <bool inwards>
__global__ void turn_over(float* by_lane, const std::int32_t* lane_of, int listed, int count, int lanes,
                          float* innermost) {
  __shared__ float tile[32][33];
  const int first_number = static_cast<int>(blockIdx.x) * 32,
            first_listed = static_cast<int>(blockIdx.y) * 32;
  const int x = static_cast<int>(threadIdx.x);
  for (int y = static_cast<int>(threadIdx.y); y < 32; y += static_cast<int>(blockDim.y)) {
    const int number = inwards ? first_number + x : first_number + y;
    const int at = inwards ? first_listed + y : first_listed + x;
    if (number >= count || at >= listed) continue;
    tile[y][x] = inwards ? by_lane[static_cast<std::size_t>(at) * static_cast<std::size_t>(count) +
                                   static_cast<std::size_t>(number)]
                         : innermost[static_cast<std::size_t>(number) * static_cast<std::size_t>(lanes) +
                                     static_cast<std::size_t>(lane_of[at])];
  }
  __syncthreads();
  for (int y = static_cast<int>(threadIdx.y); y < 32; y += static_cast<int>(blockDim.y)) {
    const int number = inwards ? first_number + y : first_number + x;
    const int at = inwards ? first_listed + x : first_listed + y;
    if (number >= count || at >= listed) continue;
    if (inwards)
      innermost[static_cast<std::size_t>(number) * static_cast<std::size_t>(lanes) +
                static_cast<std::size_t>(lane_of[at])] = tile[x][y];
    else
      by_lane[static_cast<std::size_t>(at) * static_cast<std::size_t>(count) +
              static_cast<std::size_t>(number)] = tile[x][y];
  }
}

class Gpu {
 public:
  template <typename T>
  using Array = GpuArray<T>;
  using Recording = GpuRecording;

  explicit Gpu(int lanes) : lanes_(lanes), pinned_(numbers_at_once) {
    crossing_.resize(numbers_at_once);
    total_.resize(static_cast<std::size_t>(lanes));
  }

  [[nodiscard]] int lanes() const { return lanes_; }

  template <typename Work>
  void repeat(Recording& recording, const Work& work) const {
    recording.play(queue_, work);
  }
  template <typename Kernel>
  void each(int count, const Kernel& kernel) const {
    range(0, count, kernel);
  }
  template <typename Kernel>
  void in_order(const std::vector<std::int32_t>& runs, const Kernel& kernel) const {
    for (std::size_t i = 0; i + 1 < runs.size(); ++i) range(runs[i], runs[i + 1] - runs[i], kernel);
  }
  template <typename Kernel>
  void in_reverse(const std::vector<std::int32_t>& runs, const Kernel& kernel) const {
    for (std::size_t i = runs.size() - 1; i > 0; --i) range(runs[i - 1], runs[i] - runs[i - 1], kernel);
  }
  template <typename Groups>
  [[nodiscard]] static std::vector<std::int32_t> arranged(std::vector<std::int32_t>& used,
                                                          const Groups& nodes) {
    Coloring coloring = color_groups(used, nodes);
    used = std::move(coloring.order);
    return std::move(coloring.run_start);
  }

  template <typename Value>
  void take(Array<float>& to, std::size_t count, const std::vector<std::size_t>& lanes, const Value& value) {
    in_parts(count, lanes, [&](const std::size_t* listed, int many) {
#pragma omp parallel for
      for (int k = 0; k < many; ++k)
        for (std::size_t i = 0; i < count; ++i)
          pinned_.data()[static_cast<std::size_t>(k) * count + i] = value(listed[k], i);
      check(cudaMemcpy(crossing_.data(), pinned_.data(),
                       static_cast<std::size_t>(many) * count * sizeof(float), cudaMemcpyHostToDevice),
            "take numbers");
      turn<true>(count, many, to.data());
    });
  }
  template <typename Keep>
  void give(Array<float>& from, std::size_t count, const std::vector<std::size_t>& lanes, const Keep& keep) {
    in_parts(count, lanes, [&](const std::size_t* listed, int many) {
      turn<false>(count, many, from.data());
      check(cudaMemcpy(pinned_.data(), crossing_.data(),
                       static_cast<std::size_t>(many) * count * sizeof(float), cudaMemcpyDeviceToHost),
            "give numbers back");
#pragma omp parallel for
      for (int k = 0; k < many; ++k)
        for (std::size_t i = 0; i < count; ++i)
          keep(listed[k], i, pinned_.data()[static_cast<std::size_t>(k) * count + i]);
    });
  }
  [[nodiscard]] std::vector<double> summed(const Array<float>& sums, int chunks) {
    add_chunks<<<static_cast<unsigned>((lanes_ + 63) / 64), 64, 0, queue_.get()>>>(sums.data(), chunks,
                                                                                   lanes_, total_.data());
    std::vector<double> total(static_cast<std::size_t>(lanes_));
    check(cudaMemcpy(total.data(), total_.data(), total.size() * sizeof(double), cudaMemcpyDeviceToHost),
          "give sums back");
    return total;
  }

  void set_factor(const LaneFactor& factor) {
    corners_.assign(factor);
  }
  [[nodiscard]] std::size_t factor_entries() const {
    return corners_.entries();
  }
  void solve_corners(const Array<float>& b, Array<float>& x) {
    corners_.solve(queue_, b, x, lanes_);
  }

 private:
  template <typename Kernel>
  void range(int first, int count, const Kernel& kernel) const {
    if (count == 0) return;
    constexpr int items = items_per_block<Kernel::parts>;
    const int groups = lanes_ / lanes_per_block;
    call<<<static_cast<unsigned>((count + items - 1) / items * groups),
           dim3(lanes_per_block, items, Kernel::parts), 0, queue_.get()>>>(kernel, first, count, groups);
    check(cudaGetLastError(), "begin a step of the solver");
  }
  /// Calls work(lanes, how many) for as many lanes at a time as may cross at once.
  template <typename Work>
  void in_parts(std::size_t count, const std::vector<std::size_t>& lanes, const Work& work) {
    if (count == 0) return;
    if (count > numbers_at_once)
      throw std::invalid_argument("a lane has more numbers than cross to a GPU at once");
    const std::size_t most = numbers_at_once / count;
    for (std::size_t first = 0; first < lanes.size(); first += most) {
      const std::size_t many = std::min(most, lanes.size() - first);
      lane_of_.copy({lanes.begin() + static_cast<std::ptrdiff_t>(first),
                     lanes.begin() + static_cast<std::ptrdiff_t>(first + many)});
      work(lanes.data() + first, static_cast<int>(many));
    }
  }
  template <bool inwards>
  void turn(std::size_t count, int many, float* innermost) {
    turn_over<inwards>
        <<<dim3(static_cast<unsigned>((count + 31) / 32), static_cast<unsigned>((many + 31) / 32)),
           dim3(32, 8), 0, queue_.get()>>>(crossing_.data(), lane_of_.data(), many, static_cast<int>(count),
                                           lanes_, innermost);
    check(cudaGetLastError(), "turn numbers over");
  }

  int lanes_;
  GpuQueue queue_;
  PinnedNumbers pinned_;
  GpuArray<float> crossing_;
  GpuArray<std::int32_t> lane_of_;
  GpuArray<double> total_;
  DenseCorners corners_;
};

}  // namespace

std::string why_no_gpu() {
  int devices = 0;
  const cudaError_t status = cudaGetDeviceCount(&devices);
  if (status != cudaSuccess) return cudaGetErrorString(status);
  return devices > 0 ? "" : "none is there";
}

double gpu_copy_rate() {
  if (const std::string why = why_no_gpu(); !why.empty())
    throw std::runtime_error("no GPU can be used: " + why);
  constexpr std::size_t count = std::size_t{1} << 28;
  constexpr int copies = 10;
  GpuArray<float> from, to;
  from.resize(count);
  to.resize(count);
  cudaEvent_t start = nullptr, end = nullptr;
  check(cudaEventCreate(&start), "take the time");
  check(cudaEventCreate(&end), "take the time");
  const auto copy = [&] {
    check(cudaMemcpyAsync(to.data(), from.data(), count * sizeof(float), cudaMemcpyDeviceToDevice), "copy");
  };
  copy();
  check(cudaEventRecord(start), "take the time");
  for (int i = 0; i < copies; ++i) copy();
  check(cudaEventRecord(end), "take the time");
  check(cudaEventSynchronize(end), "take the time");
  float milliseconds = 0;
  check(cudaEventElapsedTime(&milliseconds, start, end), "take the time");
  cudaEventDestroy(start);
  cudaEventDestroy(end);
  return 2.0 * copies * sizeof(float) * static_cast<double>(count) /
         (1e-3 * static_cast<double>(milliseconds));
}

std::unique_ptr<LaneSolver> make_gpu_lane_solver(std::shared_ptr<const LaneMesh> mesh, int lanes) {
  if (const std::string why = why_no_gpu(); !why.empty())
    throw std::runtime_error("no GPU can be used: " + why);
  if (lanes < lanes_per_block || lanes % lanes_per_block != 0)
    throw std::invalid_argument("lanes on a GPU are " + std::to_string(lanes) + "; must be a multiple of 32");
  require_uncoupled_runs(*mesh);
  return std::make_unique<LaneEngine<Gpu>>(std::move(mesh), Gpu(lanes));
}

}  // namespace setstress
