#include "solver/linear/sweep/sweep_matrix.hpp"

#include <algorithm>
#include <utility>

namespace setstress {

void SweepRows::add(std::uint32_t column_place, std::uint32_t source_position) {
  column.push_back(column_place);
  source.push_back(source_position);
}

std::size_t SweepRows::bytes() const {
  return (start.size() + column.size() + source.size()) * sizeof(std::uint32_t);
}

SweepPattern::SweepPattern(const NodeGraph& graph, const SweepOrder& order) {
  std::vector<std::pair<int, std::uint32_t>> couplings;
  for (int part = 0; part < order.parts(); ++part) {
    const auto [first, last] = order.part(part);
    for (int place = first; place < last; ++place) {
      const auto node = static_cast<std::size_t>(order.node_at[static_cast<std::size_t>(place)]);
      couplings.clear();
      for (std::size_t k = graph.row_start[node]; k < graph.row_start[node + 1]; ++k)
        couplings.emplace_back(order.place_of[static_cast<std::size_t>(graph.column[k])],
                               static_cast<std::uint32_t>(k));
      std::sort(couplings.begin(), couplings.end());
      for (const auto& [column, source] : couplings) {
        if (column == place) diagonal.push_back(source);
        if (column == place || (column > place && column < last)) continue;
        (column >= last   ? after
         : column < first ? before
                          : inside)
            .add(static_cast<std::uint32_t>(column), source);
      }
      for (SweepRows* rows : {&inside, &before, &after}) rows->end_row();
    }
  }
}

std::size_t SweepPattern::bytes() const {
  return inside.bytes() + before.bytes() + after.bytes() + diagonal.size() * sizeof(std::uint32_t);
}

void SweepValues::assign(const SweepRows& rows, const BlockMatrix& matrix) {
  const auto count = static_cast<std::ptrdiff_t>(rows.source.size());
  value_.resize(9 * rows.source.size() + 1, 0.0f);
#pragma omp parallel for schedule(static) if (count > 5000)
  for (std::ptrdiff_t k = 0; k < count; ++k) {
    const Block& block = matrix.values[rows.source[static_cast<std::size_t>(k)]];
    float* out = value_.data() + 9 * k;
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) out[3 * i + j] = static_cast<float>(block(i, j));
  }
}

}  // namespace setstress
