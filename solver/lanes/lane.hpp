#pragma once
// Numbers of many runs side by side: vectors of a processor, or one number each of a GPU's threads.

#include <cstddef>
#include <cstring>

// What kernels are made of is no call: packs live in registers.
#ifdef __CUDACC__
#define SETSTRESS_LANE_CODE __device__ __forceinline__
#else
#define SETSTRESS_LANE_CODE __attribute__((always_inline)) inline
#endif

namespace setstress {

#ifdef __CUDACC__

inline constexpr int gpu_threads_per_block = 256;

/// The lane of one thread, in an array that holds `stride` lanes of each number, lanes innermost. `parts`
/// threads (threadIdx.z) may share what one item has to add up; the first of them stores.
template <int parts>
struct OneLane {
  using Lane = float;
  std::size_t stride, lane;
  [[nodiscard]] SETSTRESS_LANE_CODE float load(const float* from, std::size_t i) const {
    return from[i * stride + lane];
  }
  SETSTRESS_LANE_CODE void store(float value, float* to, std::size_t i) const {
    if (parts == 1 || threadIdx.z == 0) to[i * stride + lane] = value;
  }
  [[nodiscard]] static SETSTRESS_LANE_CODE float zero() { return 0.0f; }

  [[nodiscard]] static SETSTRESS_LANE_CODE int part() {
    return parts == 1 ? 0 : static_cast<int>(threadIdx.z);
  }
  static constexpr int every = parts;
  /// What the first part has to start from; the others start from nothing.
  template <typename Sum>
  [[nodiscard]] static SETSTRESS_LANE_CODE Sum begun(const Sum& sum) {
    return part() == 0 ? sum : Sum{0.0f, 0.0f, 0.0f};
  }
  /// The sum of all parts, to each of them. Once a kernel.
  template <typename Sum>
  [[nodiscard]] static SETSTRESS_LANE_CODE Sum joined(const Sum& own) {
    if constexpr (parts == 1) {
      return own;
    } else {
      __shared__ float sums[3][gpu_threads_per_block];
      const unsigned row = threadIdx.y * blockDim.x + threadIdx.x, rows = blockDim.x * blockDim.y;
      const unsigned place = threadIdx.z * rows + row;
      sums[0][place] = own.x;
      sums[1][place] = own.y;
      sums[2][place] = own.z;
      __syncthreads();
      Sum all{0.0f, 0.0f, 0.0f};
      for (unsigned at = row; at < parts * rows; at += rows) {
        all.x += sums[0][at];
        all.y += sums[1][at];
        all.z += sums[2][at];
      }
      return all;
    }
  }
};

#else

/// Numbers that one vector of the processor holds, and that kernels are best given at a time: wider vectors
/// would be taken apart in memory, wider packs would not stay in the registers.
#if defined(__AVX512F__)
inline constexpr int vector_width = 16, widest_pack = 32;
#elif defined(__AVX__)
inline constexpr int vector_width = 8, widest_pack = 8;
#else
inline constexpr int vector_width = 4, widest_pack = 4;
#endif

/// One number of each of `Width` runs. Widths are multiples of what one vector holds, or less. No lane knows
/// of another, and every width does the same operations: a run's bits depend on neither.
template <int Width>
struct Pack {
  static constexpr int part_width = Width < vector_width ? Width : vector_width;
  static constexpr int parts = Width / part_width;
  // An alias would lose the attribute, which depends on a parameter.
  typedef float Part __attribute__((vector_size(part_width * sizeof(float))));
  static_assert(sizeof(Part) == part_width * sizeof(float));
  Part part[parts];

  friend SETSTRESS_LANE_CODE Pack operator+(Pack a, const Pack& b) {
    for (int i = 0; i < parts; ++i) a.part[i] = a.part[i] + b.part[i];
    return a;
  }
  friend SETSTRESS_LANE_CODE Pack operator-(Pack a, const Pack& b) {
    for (int i = 0; i < parts; ++i) a.part[i] = a.part[i] - b.part[i];
    return a;
  }
  friend SETSTRESS_LANE_CODE Pack operator*(Pack a, const Pack& b) {
    for (int i = 0; i < parts; ++i) a.part[i] = a.part[i] * b.part[i];
    return a;
  }
  friend SETSTRESS_LANE_CODE Pack operator*(float a, Pack b) {
    for (int i = 0; i < parts; ++i) b.part[i] = a * b.part[i];
    return b;
  }
};

/// Where `Width` of the lanes of an array are that holds `stride` lanes of each number, lanes innermost.
template <int Width>
struct PackAt {
  using Lane = Pack<Width>;
  std::size_t stride, first;
  [[nodiscard]] SETSTRESS_LANE_CODE Lane load(const float* from, std::size_t i) const {
    Lane lane;
    std::memcpy(&lane, from + i * stride + first, sizeof lane);
    return lane;
  }
  SETSTRESS_LANE_CODE void store(const Lane& lane, float* to, std::size_t i) const {
    std::memcpy(to + i * stride + first, &lane, sizeof lane);
  }
  [[nodiscard]] static SETSTRESS_LANE_CODE Lane zero() {
    Lane lane;
    for (auto& part : lane.part) part = typename Lane::Part{};
    return lane;
  }

  // One thread adds up all of an item.
  [[nodiscard]] static constexpr int part() { return 0; }
  static constexpr int every = 1;
  template <typename Sum>
  [[nodiscard]] static SETSTRESS_LANE_CODE const Sum& begun(const Sum& sum) {
    return sum;
  }
  template <typename Sum>
  [[nodiscard]] static SETSTRESS_LANE_CODE const Sum& joined(const Sum& sum) {
    return sum;
  }
};

#endif

/// A node's three components, of every lane.
template <typename Lane>
struct Three {
  Lane x, y, z;
  SETSTRESS_LANE_CODE Three& operator+=(const Three& o) { return *this = *this + o; }
  friend SETSTRESS_LANE_CODE Three operator+(const Three& a, const Three& b) {
    return {a.x + b.x, a.y + b.y, a.z + b.z};
  }
  friend SETSTRESS_LANE_CODE Three operator-(const Three& a, const Three& b) {
    return {a.x - b.x, a.y - b.y, a.z - b.z};
  }
  friend SETSTRESS_LANE_CODE Three operator*(float a, const Three& b) { return {a * b.x, a * b.y, a * b.z}; }
};

template <typename At>
SETSTRESS_LANE_CODE Three<typename At::Lane> load_three(At at, const float* from, int node) {
  const std::size_t i = 3 * static_cast<std::size_t>(node);
  return {at.load(from, i), at.load(from, i + 1), at.load(from, i + 2)};
}
template <typename At>
SETSTRESS_LANE_CODE void store_three(At at, const Three<typename At::Lane>& value, float* to, int node) {
  const std::size_t i = 3 * static_cast<std::size_t>(node);
  at.store(value.x, to, i);
  at.store(value.y, to, i + 1);
  at.store(value.z, to, i + 2);
}
template <typename At>
SETSTRESS_LANE_CODE void add_three(At at, const Three<typename At::Lane>& value, float* to, int node) {
  store_three(at, load_three(at, to, node) + value, to, node);
}

/// A row-major 3 x 3 block that all lanes share, times three components.
template <typename Lane>
SETSTRESS_LANE_CODE Three<Lane> times(const float* a, const Three<Lane>& v) {
  return {a[0] * v.x + a[1] * v.y + a[2] * v.z, a[3] * v.x + a[4] * v.y + a[5] * v.z,
          a[6] * v.x + a[7] * v.y + a[8] * v.z};
}

}  // namespace setstress
