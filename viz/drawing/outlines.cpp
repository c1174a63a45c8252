#include "viz/drawing/outlines.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace setstress::viz {
namespace {

using Spot = std::array<long, 2>;                 ///< in steps of the grid
using Sides = std::map<Spot, std::vector<Spot>>;  ///< ends of the sides that start at a spot

/// Sides that run both ways lie between two polygons: they go.
void add_side(Sides& sides, const Spot& from, const Spot& to) {
  if (from == to) return;
  if (const auto back = sides.find(to); back != sides.end()) {
    auto& ends = back->second;
    if (const auto other = std::ranges::find(ends, from); other != ends.end()) {
      ends.erase(other);
      if (ends.empty()) sides.erase(back);
      return;
    }
  }
  sides[from].push_back(to);
}

/// Takes one closed line out of the sides; as many of them lead to a spot as away from it.
std::vector<Spot> take_loop(Sides& sides) {
  std::vector<Spot> loop;
  const Spot start = sides.begin()->first;
  Spot at = start;
  do {
    loop.push_back(at);
    const auto away = sides.find(at);
    at = away->second.back();
    away->second.pop_back();
    if (away->second.empty()) sides.erase(away);
  } while (at != start);
  return loop;
}

/// Distance of a spot from the straight line between two others [steps].
double off_line(const Spot& spot, const Spot& from, const Spot& to) {
  const auto dx = static_cast<double>(to[0] - from[0]), dy = static_cast<double>(to[1] - from[1]);
  const auto x = static_cast<double>(spot[0] - from[0]), y = static_cast<double>(spot[1] - from[1]);
  const double length = std::hypot(dx, dy);
  return length > 0 ? std::abs(dx * y - dy * x) / length : std::hypot(x, y);
}

/// Without the spots that lie within a step of the line between those kept.
std::vector<Spot> straightened(const std::vector<Spot>& loop) {
  std::vector<Spot> kept{loop.front()}, passed;
  for (std::size_t i = 1; i < loop.size(); ++i) {
    passed.push_back(loop[i]);
    const Spot& next = loop[(i + 1) % loop.size()];
    if (std::ranges::all_of(passed, [&](const Spot& spot) { return off_line(spot, kept.back(), next) <= 1; }))
      continue;
    kept.push_back(loop[i]);
    passed.clear();
  }
  return kept;
}

}  // namespace

std::vector<std::vector<FlatPoint>> outlines_of(const std::vector<std::vector<FlatPoint>>& polygons,
                                                double grid) {
  const auto spot = [grid](const FlatPoint& at) {
    return Spot{std::lround(at[0] / grid), std::lround(at[1] / grid)};
  };
  Sides sides;
  for (const std::vector<FlatPoint>& polygon : polygons)
    for (std::size_t c = 0; c < polygon.size(); ++c)
      add_side(sides, spot(polygon[c]), spot(polygon[(c + 1) % polygon.size()]));
  std::vector<std::vector<FlatPoint>> outlines;
  while (!sides.empty()) {
    const std::vector<Spot> loop = straightened(take_loop(sides));
    if (loop.size() < 3) continue;
    std::vector<FlatPoint>& outline = outlines.emplace_back();
    for (const Spot& each : loop)
      outline.push_back({grid * static_cast<double>(each[0]), grid * static_cast<double>(each[1])});
  }
  return outlines;
}

}  // namespace setstress::viz
