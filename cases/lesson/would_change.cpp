#include <fmt/format.h>

#include <algorithm>

#include "cases/file/read_case.hpp"
#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/odds/odds_report.hpp"
#include "cases/why/why_report.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace {

/// A case of the lesson as it is drawn, under a name that reads well.
Case drawn(const LessonRuns& runs, const std::string& file, const std::string& name) {
  Case input = runs.input(file);
  MeshSize mesh = read_fineness("coarse");
  if (input.mesh_size.bond > mesh.bond) mesh = input.mesh_size;  // a sketch stays one
  input = meshed_for_draws(std::move(input), mesh);
  input.name = name;
  return input;
}

JudgedOdds odds_of(const LessonRuns& runs, const Case& bulk, const Case& layers) {
  make_folders(runs.folder() / "runs");
  const OddsSettings settings{.draws = runs.draws(),
                              .quiet = runs.quiet(),
                              .database = runs.folder() / "runs" / "bulk-or-layers.sqlite"};
  Odds odds = find_odds(bulk, layers, settings);
  if (static_cast<int>(odds.rows.size()) < odds.asked) throw LessonStopped("stopped as asked");
  return judged(std::move(odds));
}

/// Whether the plan that is the better one in the middle of the draws is so in nearly all of them.
std::string take_home_of(const JudgedOdds& judged) {
  constexpr double nearly_all = 0.9;
  int sure = 0, told = 0;
  for (const auto& wall : judged.walls.front())
    if (wall) {
      ++told;
      const double share = wall->odds.second_lower.value;
      sure += std::max(share, 1 - share) >= nearly_all;
    }
  const char* ending = sure == told ? "here the answer holds in nearly all draws on every wall"
                       : sure == 0  ? "here no wall has an answer that holds in nearly all draws"
                                    : "here it holds in nearly all draws on some walls and not on others";
  return fmt::format("Ask of every answer what it comes from and how often it would be another one: {}.",
                     ending);
}

}  // namespace

LessonChapter what_would_change_this_answer(LessonRuns& runs) {
  const Case bulk = drawn(runs, "deep-box", "bulk"), layers = drawn(runs, "layers-horizontal", "layers");
  const auto why = find_why(bulk, layers, std::nullopt, runs.quiet());
  if (!why) throw LessonStopped("stopped as asked");
  const JudgedOdds odds = odds_of(runs, bulk, layers);
  LessonChapter chapter{
      .name = "would-change",
      .title = "What would change this answer?",
      .sentences = {fmt::format("The bulk filling and the horizontal layers again, made anew for this "
                                "chapter on elements of {:g} mm, "
                                "once without each thing that may cause the difference and {} times with "
                                "other values of everything "
                                "that is uncertain.",
                                odds.odds.element_size, odds.odds.asked)},
      .take_home = take_home_of(odds),
      .not_said =
          "Odds are shares of draws from spreads that are largely assumed, few of them here; they are no "
          "probability for a patient.",
      .charts = why_charts(*why),
      .pictures = {},
      .runs = {}};
  for (const auto& sentences : {why_in_brief(*why), odds_in_brief(odds)})
    chapter.sentences.insert(chapter.sentences.end(), sentences.begin(), sentences.end());
  for (Chart& chart : odds_charts(odds)) chapter.charts.push_back(std::move(chart));
  return chapter;
}

}  // namespace setstress
