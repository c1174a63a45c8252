#include <fmt/format.h>

#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wording.hpp"
#include "cases/result/summary.hpp"
#include "viz/pictures/pictures.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

struct Block {
  const char *name, *words;
  double c_factor = 0;  ///< bonded over free area [-]
  double median = 0;    ///< largest principal stress in the filling [MPa]
  double p95 = 0;       ///< of the same [MPa]
};

void read_numbers(Block& block, const ordered_json& summary) {
  block.c_factor = summary.at("c_factors").at("whole").at("c_factor").get<double>();
  const ordered_json& filling = summary.at("tensile_stress_at_events").back().at("filling");
  block.median = filling.at("p50_MPa").get<double>();
  block.p95 = filling.at("p95_MPa").get<double>();
}

std::string trend_sentence(const std::vector<Block>& blocks) {
  std::vector<std::string> others;
  for (std::size_t b = 1; b < blocks.size(); ++b)
    if (change(blocks[b - 1].median, blocks[b].median) != Change::more)
      others.push_back(fmt::format("from {} to {} it goes from {} to {}", blocks[b - 1].words,
                                   blocks[b].words, in_mpa(blocks[b - 1].median), in_mpa(blocks[b].median)));
  if (others.empty())
    return "With every wall that is added the filling is pulled harder: it cannot shorten where it "
           "is bonded, and has less free surface to give way.";
  return fmt::format("More walls do not pull harder at every step here: {}.", listed(others));
}

Chart stress_chart(const std::vector<Block>& blocks) {
  Chart chart{.title = "Tension in the filling at the end",
              .notes = {"Largest principal stress over the volume of the filling; tension positive."},
              .x = {.label = "bonded to"},
              .y = {.label = "tension [MPa]", .low = 0}};
  ChartSeries median{.name = "median", .colour = 0, .shape = ChartSeries::Shape::line_and_dots, .points = {}};
  ChartSeries p95{
      .name = "95 % stays below", .colour = 1, .shape = ChartSeries::Shape::line_and_dots, .points = {}};
  std::vector<std::string> factors;
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const Block& block = blocks[b];
    chart.x.words.emplace_back(block.words);
    factors.push_back(fmt::format("{:.1f} {}", block.c_factor, block.words));
    median.points.push_back({static_cast<double>(b), block.median, in_mpa(block.median)});
    p95.points.push_back({static_cast<double>(b), block.p95, in_mpa(block.p95)});
  }
  chart.notes.push_back(fmt::format("C-factors (bonded over free area): {}.", listed(factors)));
  chart.series = {median, p95};
  return chart;
}

}  // namespace

LessonChapter what_pulls_on_what(LessonRuns& runs) {
  std::vector<Block> blocks{{"pull-free", "free"},
                            {"pull-one-wall", "one wall"},
                            {"pull-two-walls", "two walls"},
                            {"pull-five-walls", "five walls"}};
  std::vector<std::string> cases, names;
  for (Block& block : blocks) {
    cases.emplace_back(block.name);
    names.emplace_back(block.words);
  }
  const std::vector<Result> results = runs.results_of(cases);
  for (std::size_t b = 0; b < blocks.size(); ++b) read_numbers(blocks[b], read_summary(results[b].folder));
  draw_cut(results, names, runs.folder() / "pull-cut.png", {.width = 1600});
  std::vector<std::string> values;
  for (std::size_t b = 1; b < blocks.size(); ++b)
    values.push_back(fmt::format("{} with {}", in_mpa(blocks[b].median), blocks[b].words));
  return {
      .name = "pull",
      .title = "What pulls on what?",
      .sentences = {fmt::format(
                        "Left free, the composite shrinks and nothing holds it; it is lit from one "
                        "side and sets unevenly, so that half of it still carries a tension of up to {}.",
                        in_mpa(blocks[0].median)),
                    fmt::format("The same block, bonded, carries {} (median).", listed(values)),
                    trend_sentence(blocks)},
      .take_home = "What cannot shorten is pulled: bonded walls make the stress, free surfaces relieve it.",
      .not_said =
          "Four blocks are four set-ups, not a law between C-factor and stress; the far ends are held "
          "still, and the bond cannot let go here.",
      .charts = {stress_chart(blocks)},
      .pictures = {{"pull-cut.png",
                    "Cuts through the four blocks, deformation magnified, coloured by the "
                    "largest principal stress"}},
      .runs = cases};
}

}  // namespace setstress
