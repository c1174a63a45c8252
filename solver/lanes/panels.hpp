#pragma once
// Solves with a Cholesky factor, all lanes at once: an entry is read once for all of them.

#include <algorithm>
#include <cstdint>
#include <vector>

#include "solver/lanes/lane.hpp"
#include "solver/lanes/lane_data.hpp"

namespace setstress {

/// The factor by supernodes, panels row by row; rows and columns come in threes, one node's.
class Panels {
 public:
  void assign(const LaneFactor& factor);
  [[nodiscard]] std::size_t entries() const { return value_.size(); }

  /// x := A^-1 b; 3 numbers a corner, `Width` lanes innermost of `stride`. `y`: scratch of the same size.
  template <int Width>
  void solve(PackAt<Width> at, const float* b, float* y, float* x) const {
    for (std::size_t i = 0; i < unknown_.size(); ++i)
      at.store(scale_[i] * at.load(b, static_cast<std::size_t>(unknown_[i])), y, i);
    for (const Supernode& node : supernodes_) forward(node, at, y);
    for (auto node = supernodes_.rbegin(); node != supernodes_.rend(); ++node) backward(*node, at, y);
    for (std::size_t i = 0; i < unknown_.size(); ++i)
      at.store(scale_[i] * at.load(y, i), x, static_cast<std::size_t>(unknown_[i]));
  }

 private:
  struct Supernode {
    std::int32_t first, columns, rows;
    std::size_t row, value;  ///< where its rows and its panel begin
  };

  template <int Width>
  void forward(const Supernode& node, PackAt<Width> at, float* y) const {
    const float* const panel = value_.data() + node.value;
    const std::int32_t* const row = row_.data() + node.row;
    const auto columns = static_cast<std::size_t>(node.columns), first = static_cast<std::size_t>(node.first);
    for (std::size_t i = 0; i < static_cast<std::size_t>(node.rows); i += 3) {
      const std::size_t before = std::min(i, columns);
      const float* const l = panel + i * columns;
      const auto place = static_cast<std::size_t>(row[i]);
      auto a = at.load(y, place), b = at.load(y, place + 1), c = at.load(y, place + 2);
      for (std::size_t j = 0; j < before; ++j) {
        const auto known = at.load(y, first + j);
        a = a - l[j] * known;
        b = b - l[columns + j] * known;
        c = c - l[2 * columns + j] * known;
      }
      if (i < columns) {  // diagonal entries are kept inverted
        a = l[i] * a;
        b = l[columns + i + 1] * (b - l[columns + i] * a);
        c = l[2 * columns + i + 2] * (c - l[2 * columns + i] * a - l[2 * columns + i + 1] * b);
      }
      at.store(a, y, place);
      at.store(b, y, place + 1);
      at.store(c, y, place + 2);
    }
  }

  template <int Width>
  void backward(const Supernode& node, PackAt<Width> at, float* y) const {
    const float* const panel = value_.data() + node.value;
    const std::int32_t* const row = row_.data() + node.row;
    const auto columns = static_cast<std::size_t>(node.columns), first = static_cast<std::size_t>(node.first);
    for (std::size_t end = columns; end > 0; end -= 3) {
      const std::size_t j = end - 3;
      auto a = at.load(y, first + j), b = at.load(y, first + j + 1), c = at.load(y, first + j + 2);
      for (std::size_t i = end; i < static_cast<std::size_t>(node.rows); ++i) {
        const auto known = at.load(y, static_cast<std::size_t>(row[i]));
        const float* const l = panel + i * columns + j;
        a = a - l[0] * known;
        b = b - l[1] * known;
        c = c - l[2] * known;
      }
      const float* const l = panel + j * columns + j;
      c = l[2 * columns + 2] * c;
      b = l[columns + 1] * (b - l[2 * columns + 1] * c);
      a = l[0] * (a - l[columns] * b - l[2 * columns] * c);
      at.store(a, y, first + j);
      at.store(b, y, first + j + 1);
      at.store(c, y, first + j + 2);
    }
  }

  std::vector<Supernode> supernodes_;
  std::vector<std::int32_t> row_, unknown_;
  std::vector<float> value_, scale_;
};

}  // namespace setstress
