#include "cases/study/runs/savings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "viz/words/spoken_time.hpp"

namespace setstress {

Savings savings_of(const ResultTable& table) {
  Savings savings;
  double made = 0, fetched = 0;  // [s] for meshes
  for (const ResultRow& row : table.rows) {
    if (row.status != RunStatus::done) continue;
    savings.seconds += row.seconds;
    ++(row.mesh_shared ? savings.mesh_shared : savings.meshes);
    (row.mesh_shared ? fetched : made) += row.mesh_seconds;
    ++(row.solution_shared ? savings.solution_shared : savings.solutions);
    savings.solution_seconds += row.solution_saved;
    savings.in_lanes += row.lanes > 0;
    savings.on_gpu += row.on_gpu;
    savings.lanes = std::max(savings.lanes, row.lanes);
  }
  if (savings.meshes > 0)
    savings.mesh_seconds = std::max(0.0, made / savings.meshes * savings.mesh_shared - fetched);
  return savings;
}

std::string savings_text(const ResultTable& table) {
  const Savings s = savings_of(table);
  const auto line = [&](const char* what, int made, int shared, double saved) {
    if (shared == 0 || made == 0) return std::string();  // made elsewhere: what it took is not known
    return fmt::format(
        "{}: {} for {} runs, which saved {} ({:.0f} % of what they would take without sharing)\n", what, made,
        made + shared, duration_text(saved), 100 * saved / s.whole());
  };
  return line("Meshes and what the solver prepares on them", s.meshes, s.mesh_shared, s.mesh_seconds) +
         line("Solutions", s.solutions, s.solution_shared, s.solution_seconds) +
         (s.in_lanes == 0
              ? ""
              : fmt::format(
                    "In lanes: {} runs were solved up to {} at a time{}; alone they would differ in last "
                    "digits (--lanes off)\n",
                    s.in_lanes, s.lanes, s.on_gpu == 0 ? "" : fmt::format(", {} on a GPU", s.on_gpu)));
}

}  // namespace setstress
