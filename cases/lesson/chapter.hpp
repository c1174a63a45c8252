#pragma once
// A chapter of the lesson: pictures, charts, and sentences whose numbers come from the runs.

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "viz/charts/chart.hpp"

namespace setstress {

struct LessonPicture {
  std::string file;  ///< beside index.html
  std::string says;  ///< what is to be seen, for those who cannot
};

struct LessonChapter {
  std::string name;   ///< of its files, "pull"
  std::string title;  ///< the question
  std::vector<std::string> sentences;
  std::string take_home;  ///< what a student may keep
  std::string not_said;   ///< what must not be concluded
  std::vector<Chart> charts;
  std::vector<LessonPicture> pictures;
  std::vector<std::string> runs;  ///< cases it rests on
};

class LessonRuns;

/// What pulls on what: the same composite free, on one wall, between two, in a box of five.
LessonChapter what_pulls_on_what(LessonRuns& runs);
/// When: stress and strength on the floor of a deep box over time.
LessonChapter when(LessonRuns& runs);
/// What the wait buys: waits from none to 10 min under three laws of how the bond gains strength.
LessonChapter what_the_wait_buys(LessonRuns& runs);
/// What the layers buy: bulk, horizontal, thin floor layer, oblique, all cured to the floor.
LessonChapter what_the_layers_buy(LessonRuns& runs);
/// Is it cured: the bulk filling with a quarter of its light.
LessonChapter is_it_cured(LessonRuns& runs);
/// Where it lets go: the bulk filling and the layers with a bond that can.
LessonChapter where_it_lets_go(LessonRuns& runs);
/// And after it lets go: the gap enclosed, filled by fluid, pressed by a bite.
LessonChapter what_follows(LessonRuns& runs);
/// What would change this answer: why bulk and layers differ, and under how many draws they would not.
LessonChapter what_would_change_this_answer(LessonRuns& runs);

}  // namespace setstress
