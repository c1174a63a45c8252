#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/result/summary.hpp"
#include "cases/words/story_words.hpp"

namespace setstress {

LessonChapter what_follows(LessonRuns& runs) {
  const std::string name = "after";
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
      .pictures = {},
      .runs = {name}};
  for (std::string& sentence : story_sentences(read_summary(runs.result_of(name))))
    chapter.sentences.push_back(std::move(sentence));
  return chapter;
}

}  // namespace setstress
