#include "solver/model/own_light.hpp"

#include <algorithm>
#include <limits>

namespace setstress {
namespace {

/// Instant [s] at which the increment is placed, and the first one after it at which another is.
std::pair<double, double> turn_of(const Timeline& timeline, int increment) {
  double from = 0, until = std::numeric_limits<double>::infinity();
  for (const Placement& placement : timeline.placements)
    if (placement.increment == increment) from = placement.time;
  for (const Placement& placement : timeline.placements)
    if (placement.time > from) until = std::min(until, placement.time);
  return {from, until};
}

std::vector<Exposure> beginning_in(const Timeline& timeline, double from, double until) {
  std::vector<Exposure> found;
  for (const Exposure& exposure : timeline.exposures)
    if (exposure.start >= from && exposure.start < until) found.push_back(exposure);
  return found;
}

}  // namespace

std::vector<Exposure> own_exposures(const Timeline& timeline, int increment) {
  const auto [from, until] = turn_of(timeline, increment);
  return beginning_in(timeline, from, until);
}

std::vector<Eigen::Vector3d> light_directions(const Timeline& timeline, int increment) {
  std::vector<Exposure> light = own_exposures(timeline, increment);
  if (light.empty())
    light =
        beginning_in(timeline, turn_of(timeline, increment).first, std::numeric_limits<double>::infinity());
  std::vector<Eigen::Vector3d> directions;
  for (const Exposure& exposure : light)
    if (std::find(directions.begin(), directions.end(), exposure.direction) == directions.end())
      directions.push_back(exposure.direction);
  if (directions.empty()) directions.push_back(-Eigen::Vector3d::UnitZ());
  return directions;
}

}  // namespace setstress
