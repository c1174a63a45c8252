#pragma once
// What may be done at once: things that touch nothing of each other, one color each.

#include <array>
#include <cstdint>
#include <vector>

#include "solver/lanes/lane_data.hpp"

namespace setstress {

/// Things by color, in their given order within one; color c is order[run_start[c]] up to before
/// order[run_start[c + 1]].
struct Coloring {
  std::vector<std::int32_t> order, run_start;
};

/// Of rows, so that no two of one color are coupled. Each takes the first color that none of its couplings
/// has; `start` and `column` as in LaneRows, both ways.
Coloring color_rows(const std::vector<std::int32_t>& start, const std::vector<std::int32_t>& column);

/// Of elements or facets `used`, so that no two of one color share a node.
template <std::size_t n>
Coloring color_groups(const std::vector<std::int32_t>& used,
                      const std::vector<std::array<std::int32_t, n>>& nodes);

/// Throws std::invalid_argument where two rows of one run are coupled.
void require_uncoupled_runs(const LaneMesh& mesh);

}  // namespace setstress
