#include "cases/words/wall_numbers.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::optional<double> number(const ordered_json& at, const char* key) {
  const auto found = at.find(key);
  return found != at.end() && found->is_number() ? std::optional(found->get<double>()) : std::nullopt;
}

std::optional<WallNumbers::Highest> highest_of(const ordered_json& row, const char* key) {
  const ordered_json& at = row.at(key);
  if (at.is_null()) return std::nullopt;
  return WallNumbers::Highest{.time = at.at("time_s"),
                              .ratio = at.at("stress_to_strength_p95"),
                              .placed = at.at("placed_area_mm2"),
                              .area = row.at("area_mm2")};
}

WallNumbers numbers_of(const ordered_json& row) {
  const ordered_json &worst = row.at("worst"), &end = row.at("end");
  WallNumbers wall{.wall = row.at("wall"), .area = row.at("area_mm2")};
  wall.highest = highest_of(row, "highest_p95");
  wall.higher_while_part_filled = highest_of(row, "higher_while_part_filled");
  if (const auto mean = row.find("highest_mean"); mean != row.end() && mean->is_object())
    wall.highest_mean = number(*mean, "stress_to_strength_mean");
  wall.chance_started = number(end, "chance_started_failing");
  wall.at_strength = number(worst, "share_of_whole_at_strength");
  if (wall.at_strength) wall.worst_time = worst.at("time_s").get<double>();
  wall.debonded = number(end, "share_of_whole_debonded");
  wall.softened = number(end, "share_of_whole_softened");
  wall.strength_lost = number(end, "mean_strength_lost_of_whole");
  wall.conversion = number(end, "conversion_mean");
  wall.gap_volume = number(end, "gap_volume_mm3");
  wall.largest_gap = number(end, "largest_gap_um");
  return wall;
}

void add_energy_bounds(std::vector<WallNumbers>& walls, const ordered_json& summary) {
  const auto bounds = summary.find("energy_bound");
  if (bounds == summary.end() || !bounds->is_array()) return;
  for (const ordered_json& bound : *bounds)
    for (WallNumbers& wall : walls)
      if (bound.at("wall") == wall.wall) wall.energy_bound = bound.at("stored_over_needed").get<double>();
}

/// Two walls as one; what only one of them has is left out.
WallNumbers together(const WallNumbers& a, const WallNumbers& b) {
  WallNumbers both{.wall = a.wall + " and " + b.wall, .mirrored = true, .area = a.area + b.area};
  const auto mean = [&](std::optional<double> WallNumbers::*of) -> std::optional<double> {
    if (!(a.*of) || !(b.*of)) return std::nullopt;
    return (a.area * *(a.*of) + b.area * *(b.*of)) / both.area;
  };
  for (const auto share : {&WallNumbers::highest_mean, &WallNumbers::at_strength, &WallNumbers::debonded,
                           &WallNumbers::softened, &WallNumbers::strength_lost, &WallNumbers::conversion})
    both.*share = mean(share);
  if (a.chance_started && b.chance_started)
    both.chance_started = 1 - (1 - *a.chance_started) * (1 - *b.chance_started);
  if (both.at_strength) both.worst_time = *a.at_strength >= *b.at_strength ? a.worst_time : b.worst_time;
  if (a.highest && b.highest)
    both.highest = {.time = a.highest->ratio >= b.highest->ratio ? a.highest->time : b.highest->time,
                    .ratio = (a.area * a.highest->ratio + b.area * b.highest->ratio) / both.area,
                    .placed = both.area,
                    .area = both.area};
  const auto &part = a.higher_while_part_filled, &other = b.higher_while_part_filled;
  both.higher_while_part_filled = part && (!other || part->ratio >= other->ratio) ? part : other;
  if (a.gap_volume && b.gap_volume) both.gap_volume = *a.gap_volume + *b.gap_volume;
  if (a.largest_gap && b.largest_gap) both.largest_gap = std::max(*a.largest_gap, *b.largest_gap);
  if (a.energy_bound && b.energy_bound) both.energy_bound = std::max(*a.energy_bound, *b.energy_bound);
  return both;
}

}  // namespace

std::vector<WallNumbers> wall_numbers(const ordered_json& summary, const ordered_json& pairs) {
  std::vector<WallNumbers> walls;
  for (const ordered_json& row : summary.at("bond"))
    if (row.at("substrate") == "all") walls.push_back(numbers_of(row));
  add_energy_bounds(walls, summary);
  for (const ordered_json& pair : pairs) {
    const auto find = [&](const ordered_json& name) {
      return std::ranges::find_if(walls, [&](const WallNumbers& wall) { return name == wall.wall; });
    };
    const auto first = find(pair.at(0)), second = find(pair.at(1));
    if (first == walls.end() || second == walls.end()) continue;
    *first = together(*first, *second);
    walls.erase(second);
  }
  return walls;
}

std::string wall_in_words(const WallNumbers& wall) {
  if (wall.wall == "all") return "whole bond";
  if (wall.mirrored) return wall.wall + " walls";
  const bool is_noun = wall.wall.ends_with("floor") || wall.wall == "bond" || wall.wall == "wall";
  return is_noun ? wall.wall : wall.wall + " wall";
}

}  // namespace setstress
