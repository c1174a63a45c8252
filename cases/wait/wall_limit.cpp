#include "cases/wait/wall_limit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace setstress {

namespace {

struct Named {
  WallQuantity quantity;
  const char *name, *words;
};
constexpr Named all_quantities[] = {
    {WallQuantity::area_over_strength, "area-over-strength", "area loaded to its strength or beyond"},
    {WallQuantity::stress_to_strength, "stress-to-strength",
     "stress-to-strength ratio (95 % of the area is below) while all of it is filled"},
    {WallQuantity::debonded_area, "debonded-area", "debonded area"},
    {WallQuantity::largest_gap, "largest-gap", "largest gap"}};

const Named& entry(WallQuantity quantity) {
  for (const Named& each : all_quantities)
    if (each.quantity == quantity) return each;
  throw std::logic_error("a wall quantity without a name");
}

}  // namespace

std::string name_of(WallQuantity quantity) {
  return entry(quantity).name;
}

std::vector<std::string> wall_quantity_names() {
  std::vector<std::string> names;
  for (const Named& each : all_quantities) names.emplace_back(each.name);
  return names;
}

WallQuantity wall_quantity(const std::string& name) {
  for (const Named& each : all_quantities)
    if (each.name == name) return each.quantity;
  throw std::out_of_range(fmt::format("there is no wall quantity {}", name));
}

bool needs_debonding(WallQuantity quantity) {
  return quantity == WallQuantity::debonded_area || quantity == WallQuantity::largest_gap;
}

WallQuantity usual_quantity(bool debonding) {
  return debonding ? WallQuantity::debonded_area : WallQuantity::area_over_strength;
}

std::optional<double> usual_limit(WallQuantity quantity) {
  switch (quantity) {
    case WallQuantity::area_over_strength:
    case WallQuantity::debonded_area:
      return 0.05;
    case WallQuantity::stress_to_strength:
      return 1.0;
    case WallQuantity::largest_gap:
      return {};
  }
  throw std::logic_error("a wall quantity without a usual limit");
}

double value_of(const WallRow& row, WallQuantity quantity) {
  const BondStatistics& s = row.statistics;
  if (!(s.placed_area > 0)) return 0;
  switch (quantity) {
    case WallQuantity::area_over_strength:
      return s.of_whole(s.share_above_one);
    case WallQuantity::stress_to_strength:
      return s.is_whole() ? s.ratio.p95 : 0;
    case WallQuantity::debonded_area:
      return s.of_whole(s.share_debonded);
    case WallQuantity::largest_gap:
      return 1e3 * s.largest_gap;
  }
  throw std::logic_error("a wall quantity without a value");
}

void LargestValue::see(const WallRow& row, WallQuantity quantity) {
  value = std::max(value, value_of(row, quantity));
  const BondStatistics& s = row.statistics;
  if (quantity != WallQuantity::stress_to_strength || !(s.placed_area > 0) || s.is_whole()) return;
  if (!part || s.ratio.p95 > part->ratio) part = PartFilled{s.ratio.p95, s.placed_area, s.area};
}

void LargestValue::see_energy(double stored, double needed) {
  if (needed > 0) energy_bound = std::max(energy_bound.value_or(0), stored / needed);
}

std::optional<PartFilled> LargestValue::higher_part() const {
  return part && part->ratio > value ? part : std::nullopt;
}

std::string text_of(WallQuantity quantity, double value) {
  switch (quantity) {
    case WallQuantity::area_over_strength:
    case WallQuantity::debonded_area:
      return fmt::format("{:.1f} %", 100 * value);
    case WallQuantity::stress_to_strength:
      return fmt::format("{:.2f}", value);
    case WallQuantity::largest_gap:
      return fmt::format("{:.2f} um", value);
  }
  throw std::logic_error("a wall quantity without a text");
}

std::string description(const WallLimit& limit) {
  const std::string wall = limit.wall == "all" ? "whole bond" : limit.wall;
  const std::string where = limit.substrate == "all" ? wall : fmt::format("{} on {}", wall, limit.substrate);
  return fmt::format("{}: {}", where, entry(limit.quantity).words);
}

}  // namespace setstress
