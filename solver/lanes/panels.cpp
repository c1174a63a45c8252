#include "solver/lanes/panels.hpp"

namespace setstress {

void Panels::assign(const LaneFactor& factor) {
  supernodes_.clear();
  row_ = factor.row;
  unknown_ = factor.unknown;
  scale_ = factor.scale;
  value_.resize(factor.value.size());
  for (std::size_t s = 0; s + 1 < factor.first_column.size(); ++s) {
    const auto columns = static_cast<std::size_t>(factor.first_column[s + 1] - factor.first_column[s]);
    const auto rows = static_cast<std::size_t>(factor.row_start[s + 1] - factor.row_start[s]);
    const auto start = static_cast<std::size_t>(factor.value_start[s]);
    supernodes_.push_back({static_cast<std::int32_t>(factor.first_column[s]),
                           static_cast<std::int32_t>(columns), static_cast<std::int32_t>(rows),
                           static_cast<std::size_t>(factor.row_start[s]), start});
    for (std::size_t j = 0; j < columns; ++j)
      for (std::size_t i = 0; i < rows; ++i) {
        const float entry = factor.value[start + j * rows + i];
        value_[start + i * columns + j] = i == j ? 1 / entry : entry;
      }
  }
}

}  // namespace setstress
