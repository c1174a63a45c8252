#include <fmt/format.h>

#include <algorithm>

#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wall_history.hpp"
#include "cases/lesson/wording.hpp"
#include "cases/result/summary.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

struct LayerPlan {
  const char *name, *words;
  double floor = 0, whole = 0;  ///< highest mean stress-to-strength ratio with all of it filled [-]
  double conversion = 0;        ///< relative, of the paste beside the floor at the end [-]
  double chair_time = 0;        ///< [s]
  double c_factor = 0;          ///< of its first increment [-]
};

/// The highest mean ratio among the steps at which all of the wall is filled.
double highest_mean(const std::filesystem::path& result, const char* wall) {
  double highest = 0;
  for (const WallInstant& at : whole_wall_history(result, wall)) highest = std::max(highest, at.mean_ratio);
  return highest;
}

/// Plans are compared at like cure, or it is said that they are not.
std::string cure_sentence(const std::vector<LayerPlan>& plans) {
  const auto [least, most] = std::ranges::minmax(plans, {}, &LayerPlan::conversion);
  std::vector<std::string> words;
  for (const LayerPlan& plan : plans)
    words.push_back(fmt::format("{:.2f} with \"{}\"", plan.conversion, plan.words));
  return fmt::format(
      "The paste beside the floor has set to {} (relative conversion, 1 is all it can reach){}",
      listed(words),
      most.conversion - least.conversion < 0.05
          ? ": about the same, so what differs below is how the plans place it."
          : ": not the same, and a plan whose floor has set less is pulled less for that reason alone.");
}

std::string range_sentence(std::vector<LayerPlan> plans, double LayerPlan::*load, const char* where) {
  std::ranges::sort(plans, {}, load);
  return fmt::format(
      "{}, once all of it is filled, the highest mean stress-to-strength ratio is lowest with \"{}\" "
      "({:.2f}) and highest with "
      "\"{}\" ({:.2f}).",
      where, plans.front().words, plans.front().*load, plans.back().words, plans.back().*load);
}

/// "more than bulk (0.58)", "as much as bulk (0.58)"
std::string against(const LayerPlan& plan, const LayerPlan& other) {
  const Change difference = change(other.floor, plan.floor);
  return fmt::format("{} {} ({:.2f})",
                     difference == Change::more   ? "more than"
                     : difference == Change::less ? "less than"
                                                  : "as much as",
                     other.words, other.floor);
}

/// What the floor layer does to the floor, whichever way it comes out.
std::string floor_layer_sentence(const LayerPlan& bulk, const LayerPlan& horizontal, const LayerPlan& layer) {
  return fmt::format(
      "On the floor it comes to {:.2f} under the thin floor layer: {} and {}. Its first increment has a "
      "C-factor (bonded over free area) of {:.1f}, the bulk filling one of {:.1f}.",
      layer.floor, against(layer, bulk), against(layer, horizontal), layer.c_factor, bulk.c_factor);
}

std::string chair_sentence(const std::vector<LayerPlan>& plans) {
  std::vector<std::string> times;
  for (const LayerPlan& plan : plans)
    times.push_back(fmt::format("{} for \"{}\"", duration_text(plan.chair_time), plan.words));
  return fmt::format("Chair time, from the cured bond to the last light off: {}.", listed(times));
}

Chart layers_chart(const std::vector<LayerPlan>& plans) {
  Chart chart{
      .title = "Load on the bond, four ways to fill one box",
      .notes = {"Highest mean stress-to-strength ratio (1: strength reached) with all of the wall filled."},
      .x = {.label = "plan"},
      .y = {.label = "mean stress-to-strength ratio", .low = 0}};
  ChartSeries floor{.name = "floor", .colour = 0, .shape = ChartSeries::Shape::dots, .points = {}};
  ChartSeries whole{.name = "whole bond", .colour = 1, .shape = ChartSeries::Shape::dots, .points = {}};
  for (std::size_t p = 0; p < plans.size(); ++p) {
    chart.x.words.emplace_back(plans[p].words);
    floor.points.push_back({static_cast<double>(p), plans[p].floor, fmt::format("{:.2f}", plans[p].floor)});
    whole.points.push_back({static_cast<double>(p), plans[p].whole, fmt::format("{:.2f}", plans[p].whole)});
  }
  chart.series = {floor, whole};
  return chart;
}

}  // namespace

LessonChapter what_the_layers_buy(LessonRuns& runs) {
  std::vector<LayerPlan> plans{{"deep-box", "bulk"},
                               {"layers-horizontal", "horizontal"},
                               {"layers-floor", "thin floor layer"},
                               {"layers-oblique", "oblique"}};
  std::vector<std::string> cases, names;
  for (const LayerPlan& plan : plans) {
    cases.emplace_back(plan.name);
    names.emplace_back(plan.words);
  }
  const std::vector<Result> results = runs.results_of(cases);
  for (std::size_t p = 0; p < plans.size(); ++p) {
    const ordered_json summary = read_summary(results[p].folder);
    plans[p].floor = highest_mean(results[p].folder, "floor");
    plans[p].whole = highest_mean(results[p].folder, "all");
    plans[p].conversion = bond_row(summary, "floor", "all").at("end").at("conversion_mean").get<double>();
    plans[p].c_factor = summary.at("c_factors").at("increments").at(0).at("c_factor").get<double>();
    plans[p].chair_time = summary.at("chair_time_s").get<double>();
  }
  const PictureOptions worst{.width = 1600, .moment = Moment::worst};
  draw_comparison(results, names, runs.folder() / "layers-bond.png", worst);
  draw_walls(results, names, runs.folder() / "layers-walls.svg", worst);
  return {.name = "layers",
          .title = "What do the layers buy?",
          .sentences = {cure_sentence(plans), range_sentence(plans, &LayerPlan::whole, "Over the whole bond"),
                        floor_layer_sentence(plans[0], plans[1], plans[2]), chair_sentence(plans)},
          .take_home =
              "Compare plans only when they are cured alike; then look at each wall, and at the chair time.",
          .not_said =
              "Which plan is lower here is an answer for this box, paste and bond; published findings "
              "do not agree, and rims between layers add stress peaks.",
          .charts = {layers_chart(plans)},
          .pictures = {{"layers-bond.png",
                        "The bond under the four plans, each at its worst instant, coloured "
                        "by stress-to-strength ratio"}},
          .runs = cases};
}

}  // namespace setstress
