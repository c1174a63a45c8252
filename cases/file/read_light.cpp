#include "cases/file/read_light.hpp"

#include <fmt/format.h>

#include <map>

namespace setstress {

namespace {

constexpr Quantity any_direction{"-", -1e6, 1e6};
constexpr Quantity tip_range{"mm", 0, 100};

/// The way light travels that comes from a side of the tooth (x distal, y buccal, z occlusal).
Eigen::Vector3d travel_from(const Section& light) {
  if (light.is_array("from")) {
    const Eigen::Vector3d lamp = light.vector("from", any_direction);
    if (lamp.norm() < 1e-9)
      light.fail("from", "has no direction; give x, y, z from the tooth towards the lamp");
    return -lamp.normalized();
  }
  static const std::map<std::string, Eigen::Vector3d> sides{{"occlusal", {0, 0, -1}}, {"buccal", {0, -1, 0}},
                                                            {"lingual", {0, 1, 0}},   {"mesial", {1, 0, 0}},
                                                            {"distal", {-1, 0, 0}},   {"apical", {0, 0, 1}}};
  return sides.at(
      light.choice("from", {"occlusal", "buccal", "lingual", "mesial", "distal", "apical"}, "occlusal"));
}

/// Shares of the irradiance at the tip that are left 2, 4, 6, 8 and 10 mm away. Derived: laid by eye through
/// losses of 25 % at 7 mm and 34 % at 10 mm (Oper Dent 2021;46:271), 33 to 83 % at 10 mm (Meyer 2002, J Adhes
/// Dent 4:197) and 75 % at 6 mm for a badly collimated lamp (a review).
const std::map<std::string, std::vector<std::pair<double, double>>> distance_curves{
    {"good-collimation", {{0, 1}, {2, 0.97}, {4, 0.90}, {6, 0.80}, {8, 0.72}, {10, 0.66}}},
    {"middle-collimation", {{0, 1}, {2, 0.90}, {4, 0.75}, {6, 0.62}, {8, 0.52}, {10, 0.45}}},
    {"poor-collimation", {{0, 1}, {2, 0.70}, {4, 0.45}, {6, 0.27}, {8, 0.20}, {10, 0.17}}}};

std::vector<std::pair<double, double>> read_table(const Section& light) {
  const auto table = light.pairs("distance_table", tip_range, {"-", 0, 1});
  if (table.empty() || table.front() != std::pair{0.0, 1.0})
    light.fail("distance_table", "must begin with [0, 1]: at the tip all of the light is there");
  for (std::size_t i = 1; i < table.size(); ++i)
    if (!(table[i].first > table[i - 1].first) || table[i].second > table[i - 1].second)
      light.fail(
          "distance_table",
          fmt::format("holds [{:g}, {:g}] after [{:g}, {:g}]; distances [mm] must rise, shares [-] must not",
                      table[i].first, table[i].second, table[i - 1].first, table[i - 1].second));
  return table;
}

/// Where nothing is lost with distance, keys that say how far away the tip is would be ignored.
void refuse_without_curve(const Section& light) {
  for (const char* key : {"tip_gap", "tip_distance", "beyond_table"})
    if (light.has(key))
      light.fail(key,
                 "changes nothing without distance_curve or distance_table: no light is lost with distance");
}

std::optional<LampTip> read_tip(const Section& light) {
  const std::string curve = light.choice(
      "distance_curve", {"none", "good-collimation", "middle-collimation", "poor-collimation"}, "none");
  const bool table = light.has("distance_table");
  if (table && curve != "none")
    light.fail("distance_table", "cannot stand beside distance_curve: give one of the two");
  if (!table && curve == "none") {
    refuse_without_curve(light);
    return std::nullopt;
  }
  LampTip tip;
  tip.kept.points = table ? read_table(light) : distance_curves.at(curve);
  tip.kept.keeps_last = light.choice("beyond_table", {"refuse", "keep-last"}, "refuse") == "keep-last";
  if (light.has("tip_distance")) {
    if (light.has("tip_gap")) light.fail("tip_gap", "cannot stand beside tip_distance: give one of the two");
    tip.distance = light.number("tip_distance", tip_range);
  } else {
    tip.gap = light.number("tip_gap", tip_range, 0.0);
  }
  return tip;
}

}  // namespace

Exposure read_exposure(const Section& light) {
  Exposure exposure;
  exposure.irradiance = light.number("irradiance", {"mW/cm2", 1, 10000});
  exposure.duration = light.time("duration", {"s", 0, 3600, true});
  exposure.direction = travel_from(light);
  exposure.tip = read_tip(light);
  return exposure;
}

}  // namespace setstress
