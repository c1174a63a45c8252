#include "viz/drawing/outlines.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace setstress::viz {
namespace {

using Spot = std::array<long, 2>;                 ///< in steps of the grid
using Sides = std::map<Spot, std::vector<Spot>>;  ///< ends of the sides that start at a spot

Spot spot_at(const FlatPoint& at, double grid) {
  return {std::lround(at[0] / grid), std::lround(at[1] / grid)};
}

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

/// Without the spots that lie within a step of the line between those kept; an open line keeps its ends.
std::vector<Spot> straightened(const std::vector<Spot>& loop, bool is_open = false) {
  std::vector<Spot> kept{loop.front()}, passed;
  for (std::size_t i = 1; i < loop.size(); ++i) {
    if (is_open && i + 1 == loop.size()) {
      kept.push_back(loop[i]);
      break;
    }
    passed.push_back(loop[i]);
    const Spot& next = loop[(i + 1) % loop.size()];
    if (std::ranges::all_of(passed, [&](const Spot& spot) { return off_line(spot, kept.back(), next) <= 1; }))
      continue;
    kept.push_back(loop[i]);
    passed.clear();
  }
  return kept;
}

/// Takes a line out of the pieces, from one end of it: it goes on where exactly two pieces meet.
std::vector<Spot> take_line(const Spot& start, std::map<Spot, std::vector<Spot>>& beside,
                            const std::map<Spot, std::size_t>& meeting) {
  std::vector<Spot> line{start};
  while (line.size() < 2 || meeting.at(line.back()) == 2) {
    std::vector<Spot>& ends = beside.at(line.back());
    if (ends.empty()) break;  // round in a circle
    const Spot next = ends.back();
    ends.pop_back();
    auto& back = beside.at(next);
    back.erase(std::ranges::find(back, line.back()));
    line.push_back(next);
  }
  return line;
}

}  // namespace

std::vector<std::vector<FlatPoint>> joined_lines(const std::vector<std::vector<FlatPoint>>& pieces,
                                                 double grid) {
  std::map<Spot, std::vector<Spot>> beside;
  for (const std::vector<FlatPoint>& piece : pieces)
    for (std::size_t p = 1; p < piece.size(); ++p) {
      const Spot from = spot_at(piece[p - 1], grid), to = spot_at(piece[p], grid);
      if (from == to) continue;
      beside[from].push_back(to);
      beside[to].push_back(from);
    }
  std::map<Spot, std::size_t> meeting;
  for (const auto& [spot, ends] : beside) meeting[spot] = ends.size();
  std::vector<std::vector<FlatPoint>> lines;
  for (const bool from_ends : {true, false})  // what is left after that are rings
    for (auto& [spot, ends] : beside)
      while (!ends.empty() && (!from_ends || meeting.at(spot) != 2)) {
        std::vector<FlatPoint>& line = lines.emplace_back();
        for (const Spot& kept : straightened(take_line(spot, beside, meeting), true))
          line.push_back({grid * static_cast<double>(kept[0]), grid * static_cast<double>(kept[1])});
      }
  return lines;
}

std::vector<std::vector<FlatPoint>> outlines_of(const std::vector<std::vector<FlatPoint>>& polygons,
                                                double grid) {
  Sides sides;
  for (const std::vector<FlatPoint>& polygon : polygons)
    for (std::size_t c = 0; c < polygon.size(); ++c)
      add_side(sides, spot_at(polygon[c], grid), spot_at(polygon[(c + 1) % polygon.size()], grid));
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
