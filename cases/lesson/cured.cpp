#include <fmt/format.h>

#include <algorithm>

#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wall_history.hpp"
#include "cases/lesson/wording.hpp"
#include "cases/result/summary.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// The floor of one filling: how far it has set, and what it carries.
struct CuredFloor {
  double light = 0;        ///< seconds of light [s]
  double conversion = 0;   ///< relative, of the paste beside the floor at the end [-]
  double against_top = 0;  ///< conversion at the bottom of the increment over that at its top [-]
  double ratio = 0;        ///< highest mean stress-to-strength ratio with all of the floor filled [-]
};

CuredFloor cured_floor(LessonRuns& runs, const std::string& name) {
  const std::filesystem::path folder = runs.result_of(name);
  const ordered_json summary = read_summary(folder);
  CuredFloor floor;
  for (const Exposure& light : runs.input(name).plan.timeline.exposures) floor.light += light.duration;
  floor.conversion = bond_row(summary, "floor", "all").at("end").at("conversion_mean").get<double>();
  floor.against_top = summary.at("cure").at("increments").at(0).at("bottom_over_top").get<double>();
  for (const WallInstant& at : whole_wall_history(folder, "floor"))
    floor.ratio = std::max(floor.ratio, at.mean_ratio);
  return floor;
}

std::string floor_sentence(const CuredFloor& floor) {
  return fmt::format(
      "With {} of light the paste beside the floor sets to {:.2f} (relative conversion), and the mean "
      "stress-to-strength ratio of the floor comes to {:.2f}.",
      duration_text(floor.light), floor.conversion, floor.ratio);
}

/// The cause of the difference: the two plans differ in light alone.
std::string cause_sentence(const CuredFloor& lit, const CuredFloor& brief) {
  constexpr double enough = 0.9;
  const char* set = brief.against_top < enough ? "has not set through" : "has set less";
  const std::string bottom =
      fmt::format("its bottom reaches {} of the conversion of its top", in_percent(brief.against_top));
  if (change(lit.ratio, brief.ratio) != Change::less)
    return fmt::format(
        "The filling that was lit briefly {}: {}. Here that does not lower the stress on the floor.", set,
        bottom);
  return fmt::format(
      "The floor is pulled less under the brief light for the wrong reason: the paste there {} ({}). "
      "It is softer and weaker too, and that is no gain.",
      set, bottom);
}

}  // namespace

LessonChapter is_it_cured(LessonRuns& runs) {
  const CuredFloor lit = cured_floor(runs, "deep-box"), brief = cured_floor(runs, "short-light");
  return {
      .name = "cured",
      .title = "Is it cured?",
      .sentences = {"The bulk filling again, the same in everything but the seconds of light.",
                    floor_sentence(lit), floor_sentence(brief), cause_sentence(lit, brief)},
      .take_home =
          "Low stress on a floor is good news only where the paste has set: ask for the conversion first.",
      .not_said =
          "Conversion here follows assumed laws of light and cure; it does not replace a material's "
          "instructions for use.",
      .charts = {},
      .pictures = {},
      .runs = {"deep-box", "short-light"}};
}

}  // namespace setstress
