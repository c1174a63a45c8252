#include "cases/pose/run_cost.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/machine/available_memory.hpp"

namespace setstress {

double estimated_seconds(const Case& input, double unknowns) {
  const Timeline& timeline = input.plan.timeline;
  const double steps = 30.0 * static_cast<double>(timeline.exposures.size()) +
                       timeline.end / input.solver.largest_time_step +
                       30.0 * static_cast<double>(timeline.bites.size());
  const double each = 4e-6 * unknowns * (input.solver.mode == Mode::debonding ? 4.0 : 1.0);
  return steps * each;
}

double estimated_memory(const Case& input, double unknowns) {
  constexpr double megabyte = 1024 * 1024;
  const double drawing = 320 + 0.66e-3 * unknowns;  // libraries and picture, after the solver has ended
  const bool debonding = input.solver.mode == Mode::debonding;
  const double solving = input.solver.linear_solver == LinearSolver::direct
                             ? 160 + 255e-6 * std::pow(unknowns, 4.0 / 3)  // a factor fills in
                             : 60 + (debonding ? 4.3e-3 : 3.9e-3) * unknowns;
  return megabyte * std::max(drawing, solving);
}

void require_memory(const Case& input, double unknowns, bool estimate) {
  if (input.beyond_memory) return;
  const std::optional<double> free = available_memory();
  const double needed = estimated_memory(input, unknowns);
  if (!free || needed <= *free) return;
  constexpr double gigabyte = 1024.0 * 1024 * 1024;
  throw CaseError(fmt::format(
      "{}: mesh.fineness: {}{:.0f} thousand unknowns, for which a run takes about {:.1f} GB of memory; "
      "{:.1f} GB are free here. Take larger elements, or --force (mesh.beyond_memory = true) to try",
      place_of(input.source, "mesh.fineness"), estimate ? "about " : "", unknowns / 1000, needed / gigabyte,
      *free / gigabyte));
}

}  // namespace setstress
