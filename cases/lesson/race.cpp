#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wording.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

/// The floor at one instant, over its area.
struct FloorInstant {
  double time;        ///< [s]
  double pull;        ///< mean normal traction [MPa]
  double high;        ///< its 95th percentile [MPa]
  double strength;    ///< mean tensile strength [MPa]
  double ratio;       ///< mean stress-to-strength ratio, shear counted [-]
  double high_ratio;  ///< its 95th percentile [-]
};

std::optional<FloorInstant> floor_at(const ResultFrame& frame) {
  const BondSurface bond = read_bond(frame.bond);
  const auto value = [&](const char* field, std::size_t t) {
    return bond.cell_field(field)(static_cast<Eigen::Index>(t), 0);
  };
  FloorInstant instant{.time = bond.time, .pull = 0, .high = 0, .strength = 0, .ratio = 0, .high_ratio = 0};
  std::vector<std::array<double, 2>> pulls, ratios;
  double area = 0;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    if (value("active", t) == 0 || bond.walls.at(static_cast<std::size_t>(value("wall", t))) != "floor")
      continue;
    const double own = bond.area(t);
    area += own;
    instant.pull += own * value("normal_traction", t);
    instant.strength += own * value("tensile_strength", t);
    instant.ratio += own * value("stress_to_strength_ratio", t);
    pulls.push_back({value("normal_traction", t), own});
    ratios.push_back({value("stress_to_strength_ratio", t), own});
  }
  if (!(area > 0)) return {};
  instant.pull /= area;
  instant.strength /= area;
  instant.ratio /= area;
  instant.high = weighted_percentile(std::move(pulls), 0.95);
  instant.high_ratio = weighted_percentile(std::move(ratios), 0.95);
  return instant;
}

std::vector<FloorInstant> floor_history(const Result& result) {
  std::vector<FloorInstant> history;
  for (const ResultFrame& frame : result.frames)
    if (const auto instant = floor_at(frame)) history.push_back(*instant);
  return history;
}

/// On and off, the first exposure.
std::array<double, 2> light_of(const Case& input) {
  const Exposure& light = input.plan.timeline.exposures.front();
  return {light.start, light.start + light.duration};
}

Chart race_chart(const std::vector<FloorInstant>& history, const std::array<double, 2>& light) {
  using Shape = ChartSeries::Shape;
  ChartSeries strength{.name = "strength of the bond, mean", .colour = 0, .shape = Shape::line, .points = {}};
  ChartSeries pull{.name = "pull, mean", .colour = 1, .shape = Shape::line, .points = {}};
  ChartSeries high{
      .name = "pull, 95 % of the floor stays below", .colour = 2, .shape = Shape::line, .points = {}};
  for (const FloorInstant& at : history) {
    strength.points.push_back({at.time, at.strength});
    pull.points.push_back({at.time, at.pull});
    high.points.push_back({at.time, at.high});
  }
  const double top = std::ranges::max_element(history, {}, &FloorInstant::strength)->strength;
  const ChartBand lit{.name = "light on",
                      .colour = 4,
                      .shape = ChartBand::Shape::shaded,
                      .intervals = {{light[0], 0, top}, {light[1], 0, top}}};
  return {
      .title = "The race on the floor: strength against pull",
      .notes = {"Pull: normal traction, tension positive, against tensile strength; shear is left out here.",
                "Time since the bond was cured."},
      .x = {.label = "time [s]", .low = 0},
      .y = {.label = "on the floor [MPa]"},
      .bands = {lit},
      .series = {strength, pull, high}};
}

/// The ratio counts shear, which the two curves of the chart do not.
std::string ratio_sentence(const std::vector<FloorInstant>& history) {
  const auto mean = *std::ranges::max_element(history, {}, &FloorInstant::ratio);
  const auto high = *std::ranges::max_element(history, {}, &FloorInstant::high_ratio);
  return fmt::format(
      "Stress over strength, with shear counted as well, comes to {:.2f} on average over the floor "
      "(highest at {}) and to {:.2f} on its hardest-loaded twentieth (at {}); at 1 the strength is reached.",
      mean.ratio, duration_text(mean.time), high.high_ratio, duration_text(high.time));
}

/// What comes sooner, as shares of what there is at the end.
std::string race_won(const FloorInstant& off, const FloorInstant& end) {
  const double pull = off.pull / end.pull, strength = off.strength / end.strength;
  const bool pull_first = pull > strength;
  return fmt::format(
      "{} comes sooner than {}: when the lamp goes off, {} of the one and {} of the other are there, of what "
      "there is at {}.",
      pull_first ? "The pull" : "The strength", pull_first ? "the strength" : "the pull",
      in_percent(std::max(pull, strength)), in_percent(std::min(pull, strength)), duration_text(end.time));
}

std::string not_said(const std::vector<FloorInstant>& history) {
  return std::ranges::max(history, {}, &FloorInstant::ratio).ratio < 1
             ? "An average below 1 does not mean that nothing starts to fail: look at the hardest-loaded "
               "part."
             : "An average above 1 says where failure can start, not how much of the floor lets go.";
}

}  // namespace

LessonChapter when(LessonRuns& runs) {
  const std::vector<Result> results = runs.results_of({"deep-box"});
  const std::vector<FloorInstant> history = floor_history(results.front());
  if (history.empty()) throw std::runtime_error("the deep box of the lesson has no floor that is filled");
  const std::array<double, 2> light = light_of(runs.input("deep-box"));
  const auto off = *std::ranges::min_element(
      history, {}, [&](const FloorInstant& at) { return std::abs(at.time - light[1]); });
  const FloorInstant& end = history.back();
  draw_bond(results.front(), runs.folder() / "when-bond.png", {.width = 1600, .moment = Moment::worst});
  return {
      .name = "when",
      .title = "When?",
      .sentences = {fmt::format(
                        "When the light goes off, {} after the bond was cured, the filling already pulls "
                        "with {} on the floor, {} of what it does at {}; the bond has {} of the strength it "
                        "has then.",
                        duration_text(off.time), in_mpa(off.pull), in_percent(off.pull / end.pull),
                        duration_text(end.time), in_percent(off.strength / end.strength)),
                    ratio_sentence(history)},
      .take_home = race_won(off, end),
      .not_said = not_said(history),
      .charts = {race_chart(history, light)},
      .pictures = {{"when-bond.png",
                    "The bond of the deep box at its worst instant, in space and "
                    "unfolded, coloured by stress-to-strength ratio"}},
      .runs = {"deep-box"}};
}

}  // namespace setstress
