#pragma once
// Results made by hand, as their folders would hold them: for tests of what is said of them.

#include <string>
#include <vector>

#include "cases/compare/comparison.hpp"

namespace setstress::testing {

/// What is told of a wall.
struct Wall {
  std::string name;
  double ratio = 0;        ///< highest p95 while all of it is placed
  double at_strength = 0;  ///< share of the whole wall
  double debonded = 0, softened = 0, lost = 0, gap_volume = 0, largest_gap = 0;
  double part_ratio = 0, part_area = 0;  ///< higher while filled in part; 0: it was not
  bool placed = true;
  double area = 10;
};

inline nlohmann::ordered_json row_of(const Wall& w) {
  using nlohmann::ordered_json;
  const auto number = [&](double value) { return w.placed ? ordered_json(value) : ordered_json(nullptr); };
  const auto highest = [&](double ratio, double placed) -> ordered_json {
    return {{"time_s", 65.4}, {"event", ""}, {"placed_area_mm2", placed}, {"stress_to_strength_p95", ratio}};
  };
  return {{"wall", w.name},
          {"substrate", "all"},
          {"area_mm2", w.area},
          {"worst", {{"time_s", 65.4}, {"share_of_whole_at_strength", number(w.at_strength)}}},
          {"end",
           {{"share_of_whole_debonded", number(w.debonded)},
            {"share_of_whole_softened", number(w.softened)},
            {"mean_strength_lost_of_whole", number(w.lost)},
            {"gap_volume_mm3", number(w.gap_volume)},
            {"largest_gap_um", number(w.largest_gap)}}},
          {"highest_p95", w.placed ? highest(w.ratio, w.area) : ordered_json(nullptr)},
          {"higher_while_part_filled",
           w.part_area > 0 ? highest(w.part_ratio, w.part_area) : ordered_json(nullptr)},
          {"averaging_points_mean", 7.7}};
}

/// A whole run of one flowable increment, lit for 40 s.
inline ResultRecord told_result(const std::string& name, const std::vector<Wall>& walls,
                                double chair_time = 65, const std::string& mode = "intact") {
  using nlohmann::ordered_json;
  ordered_json bond = ordered_json::array();
  for (const Wall& wall : walls) bond.push_back(row_of(wall));
  const auto input = [](const ordered_json& value, const std::string& unit = "") -> ordered_json {
    return {{"value", value}, {"unit", unit}, {"from", "default"}};
  };
  return {
      .summary = {{"case", name},
                  {"title", name},
                  {"mode", mode},
                  {"invented", true},
                  {"reached_the_end", true},
                  {"end_time_s", 665.0},
                  {"composites", {"flowable"}},
                  {"composites_that_flow", ordered_json::array()},
                  {"chair_time_s", chair_time},
                  {"timeline", {{{"time_s", 20.0}, {"event", "increment 1 placed: flowable"}}}},
                  {"bond", bond},
                  {"cusp_deflection", nullptr},
                  {"element_size_at_bond_mm", 0.44},
                  {"mirror_walls", ordered_json::array()}},
      .manifest = {
          {"version", "0.1.0"},
          {"inputs",
           {{"tooth.length", input(8.0, "mm")},
            {"materials.adhesive", input("two-step")},
            {"plan.increment[1].wait", input(0.0, "s")},
            {"plan.light[1].irradiance", input(1000.0, "mW/cm2")},
            {"plan.light[1].duration", input(40.0, "s")},
            {"plan.light[1].delay", input(5.0, "s")},
            {"plan.end", input(600.0, "s")}}},
          {"materials",
           {{"composite", {{"flowable", {{"values", {{"youngs_modulus", input(6000.0, "MPa")}}}}}}},
            {"adhesive",
             {{"two-step",
               {{"values",
                 {{"film_thickness", input(0.02, "mm")},
                  {"strength_maturity.enamel", {{"law", "chairside-rule"}, {"points", {{0.0, 0.5}}}}},
                  {"strength_maturity.coronal-dentin",
                   {{"law", "chairside-rule"}, {"points", {{0.0, 0.5}}}}}}}}}}}}},
          {"solver", {{"mode", mode}, {"threads", 0}, {"linear_solver", "direct"}, {"viscous_time_s", 0.05}}},
          {"mesh",
           {{"size_at_bond_mm", 0.44},
            {"largest_in_filling_mm", 0.66},
            {"largest_elsewhere_mm", 1.7},
            {"tied_bond", false}}}}};
}

/// What is said of the second against the first.
inline std::vector<std::string> sentences_of(const ResultRecord& a, const ResultRecord& b) {
  return compare_results({a, b}).at("pairs").at(0).at("sentences").get<std::vector<std::string>>();
}

}  // namespace setstress::testing
