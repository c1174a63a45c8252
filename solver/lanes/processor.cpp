#include <algorithm>
#include <stdexcept>
#include <string>

#include "solver/lanes/lane_engine.hpp"
#include "solver/lanes/panels.hpp"

namespace setstress {

namespace {

/// One thread of the processor, its vectors as wide as kernels can use.
template <int lane_count>
class Processor {
 public:
  template <typename T>
  class Array {
   public:
    void resize(std::size_t count) { values_.resize(count); }
    void copy(const std::vector<T>& from) { values_ = from; }
    void fill(T value) { std::fill(values_.begin(), values_.end(), value); }
    [[nodiscard]] T* data() { return values_.data(); }
    [[nodiscard]] const T* data() const { return values_.data(); }

   private:
    std::vector<T> values_;
  };

  [[nodiscard]] static int lanes() { return lane_count; }

  struct Recording {
    void forget() {}
  };
  template <typename Work>
  static void repeat(Recording&, const Work& work) {
    work();
  }

  template <typename Kernel>
  void each(int count, const Kernel& kernel) const {
    for_blocks(kernel, [&](auto at) {
      for (int i = 0; i < count; ++i) kernel(i, at);
    });
  }
  template <typename Kernel>
  void in_order(const std::vector<std::int32_t>& runs, const Kernel& kernel) const {
    each(runs.back(), kernel);
  }
  template <typename Kernel>
  void in_reverse(const std::vector<std::int32_t>& runs, const Kernel& kernel) const {
    for_blocks(kernel, [&](auto at) {
      for (int i = runs.back() - 1; i >= 0; --i) kernel(i, at);
    });
  }
  /// One after the other: any order will do.
  template <typename Groups>
  [[nodiscard]] static std::vector<std::int32_t> arranged(const std::vector<std::int32_t>& used,
                                                          const Groups&) {
    return {0, static_cast<std::int32_t>(used.size())};
  }

  template <typename Value>
  static void take(Array<float>& to, std::size_t count, const std::vector<std::size_t>& lanes,
                   const Value& value) {
    for (std::size_t i = 0; i < count; ++i)
      for (const std::size_t lane : lanes) to.data()[i * lane_count + lane] = value(lane, i);
  }
  template <typename Keep>
  static void give(const Array<float>& from, std::size_t count, const std::vector<std::size_t>& lanes,
                   const Keep& keep) {
    for (std::size_t i = 0; i < count; ++i)
      for (const std::size_t lane : lanes) keep(lane, i, from.data()[i * lane_count + lane]);
  }
  [[nodiscard]] static std::vector<double> summed(const Array<float>& sums, int chunks) {
    std::vector<double> total(lane_count, 0.0);
    for (std::size_t chunk = 0; chunk < static_cast<std::size_t>(chunks); ++chunk)
      for (std::size_t lane = 0; lane < lane_count; ++lane)
        total[lane] += static_cast<double>(sums.data()[chunk * lane_count + lane]);
    return total;
  }

  void set_factor(const LaneFactor& factor) {
    panels_.assign(factor);
    y_.resize(factor.unknown.size() * lane_count);
  }
  [[nodiscard]] std::size_t factor_entries() const { return panels_.entries(); }
  void solve_corners(const Array<float>& b, Array<float>& x) {
    constexpr int width = std::min(lane_count, widest_pack);
    for (std::size_t first = 0; first < lane_count; first += width)
      panels_.solve(PackAt<width>{lane_count, first}, b.data(), y_.data(), x.data());
  }

 private:
  template <typename Kernel, typename Work>
  static void for_blocks(const Kernel&, const Work& work) {
    constexpr int width = std::min({lane_count, Kernel::widest, widest_pack});
    for (std::size_t first = 0; first < lane_count; first += width) work(PackAt<width>{lane_count, first});
  }

  Panels panels_;
  std::vector<float> y_;
};

}  // namespace

std::unique_ptr<LaneSolver> make_lane_solver(std::shared_ptr<const LaneMesh> mesh, int lanes) {
  switch (lanes) {
    case 8:
      return std::make_unique<LaneEngine<Processor<8>>>(std::move(mesh), Processor<8>());
    case 16:
      return std::make_unique<LaneEngine<Processor<16>>>(std::move(mesh), Processor<16>());
    case 32:
      return std::make_unique<LaneEngine<Processor<32>>>(std::move(mesh), Processor<32>());
    default:
      throw std::invalid_argument("lanes are " + std::to_string(lanes) + "; must be 8, 16 or 32");
  }
}

}  // namespace setstress
