#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/result/summary.hpp"
#include "cases/words/story_words.hpp"
#include "viz/pictures/pictures.hpp"

namespace setstress {

LessonChapter what_follows(LessonRuns& runs) {
  const std::string name = "after";
  const Result result = runs.results_of({name}).front();
  draw_bond(result, runs.folder() / "after-bond.png", {.width = 1600, .moment = Moment::end});
  draw_cut({result}, {"after the bite"}, runs.folder() / "after-cut.png", {.width = 1200, .axis = 1});
  LessonChapter chapter{
      .name = name,
      .title = "And after it lets go?",
      .sentences = {"An occlusal box whose floor bonds badly, as if contaminated; the bond may let go. What "
                    "opens is filled by fluid from the pulp as far as it is enclosed, and one bite of the "
                    "opposing tooth presses it."},
      .take_home =
          "What a bite moves through dentin is how fast a gap changes its volume, not how wide it is; where "
          "it lies, what encloses it and which dentin is open decide how much.",
      .not_said =
          "That anyone would feel this. The thresholds are of a test on open dentin; whether the film leaves "
          "dentin open here is assumed, and fatigue, friction, uptake of water and flow inside the gap are "
          "left out.",
      .charts = {},
      .pictures =
          {{"after-bond.png",
            "The bond after the bite, in space and unfolded: hatched where it has let go, each gap outlined "
            "and numbered"},
           {"after-cut.png",
            "A cut from mesial to distal after the bite, deformation magnified: where the bond has let go, "
            "a gap opens"}},
      .runs = {name}};
  for (std::string& sentence : story_sentences(read_summary(result.folder)))
    chapter.sentences.push_back(std::move(sentence));
  return chapter;
}

}  // namespace setstress
