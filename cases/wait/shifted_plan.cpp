#include "cases/wait/shifted_plan.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace setstress {

namespace {

/// The increments of the plan as they are written. Only the last can stand for several.
std::vector<Section> entries_of(const Case& input) {
  return input.source.section("plan").sections("increment");
}

/// Entry that increment `increment` (0, 1, ...) belongs to, counted from 1.
int entry_of(int increment, std::size_t entries) {
  return std::min(increment + 1, static_cast<int>(entries));
}

}  // namespace

double wait_before(const Case& input, int entry) {
  const std::vector<Section> entries = entries_of(input);
  if (entry < 1 || entry > static_cast<int>(entries.size()))
    throw CaseError(fmt::format("{}: the plan has {} [[plan.increment]]; there is no wait before number {}",
                                place_of(input.source, "plan.increment"), entries.size(), entry));
  const auto first = static_cast<std::size_t>(entry - 1);
  for (std::size_t i = first; i < entries.size(); ++i)
    if (entries[i].has("placed_at"))
      entries[i].fail("placed_at",
                      "fixes the instant at which this increment is placed; give its wait instead, so "
                      "that the plan can be moved in time");
  return entries[first].time("wait", {"s", 0, 7 * 86400.0}, 0.0);
}

Plan with_wait(const Case& input, int entry, double wait) {
  const double longer = wait - wait_before(input, entry);
  const std::size_t entries = entries_of(input).size();
  Plan plan = input.plan;
  Timeline& timeline = plan.timeline;
  std::vector<double> shifts;  // by increment
  double shift = 0;
  for (const Placement& placement : timeline.placements) {
    if (entry_of(placement.increment, entries) == entry) shift += longer;
    shifts.push_back(shift);
  }
  const auto shift_at = [&](double instant) {  // of what follows the last increment placed by then
    double found = 0;
    for (std::size_t i = 0; i < shifts.size(); ++i)
      if (input.plan.timeline.placements[i].time <= instant) found = shifts[i];
    return found;
  };
  for (std::size_t i = 0; i < shifts.size(); ++i) timeline.placements[i].time += shifts[i];
  for (Exposure& exposure : timeline.exposures) exposure.start += shift_at(exposure.start);
  for (Bite& bite : timeline.bites) bite.start += shift;
  if (plan.gap_fluid) plan.gap_fluid->from += shift, plan.gap_fluid->air_leaves_until += shift;
  timeline.end += shift;
  plan.chair_time = timeline.placements.empty() ? 0 : timeline.placements.back().time;
  for (const Exposure& exposure : timeline.exposures)
    plan.chair_time = std::max(plan.chair_time, exposure.start + exposure.duration);
  std::erase_if(timeline.extra_frames, [&](double instant) { return instant > timeline.end; });
  return plan;
}

}  // namespace setstress
