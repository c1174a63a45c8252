#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "cases/check/case_check.hpp"
#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wording.hpp"
#include "cases/result/summary.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// The box is its own mirror image, and so are the plans: which of its two sides lets go more is chance.
std::string judged_as(const std::string& wall) {
  return wall == "buccal" || wall == "lingual" ? "side walls" : wall;
}

/// Area [mm2] of each wall, and how much of it has let go by the time of each frame.
struct Debonding {
  std::map<std::string, double> area;
  std::vector<double> times;                               ///< [s]
  std::vector<std::map<std::string, double>> debonded_by;  ///< [mm2]
};

Debonding read_debonding(const Result& result) {
  Debonding all;
  for (const ResultFrame& frame : result.frames) {
    const BondSurface bond = read_bond(frame.bond);
    const Eigen::MatrixXd &wall = bond.cell_field("wall"), &debonded = bond.cell_field("share_debonded");
    std::map<std::string, double> area, lost;
    for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
      const auto row = static_cast<Eigen::Index>(t);
      const std::string name = judged_as(bond.walls.at(static_cast<std::size_t>(wall(row, 0))));
      area[name] += bond.area(t);
      lost[name] += bond.area(t) * debonded(row, 0);
    }
    all.area = area;
    all.times.push_back(bond.time);
    all.debonded_by.push_back(lost);
  }
  return all;
}

/// The first frame with something debonded, and the wall with most of it.
std::optional<std::pair<double, std::string>> first_to_go(const Debonding& all) {
  for (std::size_t f = 0; f < all.times.size(); ++f) {
    const auto most =
        std::ranges::max_element(all.debonded_by[f], {}, [](const auto& w) { return w.second; });
    if (most->second > 0) return {{all.times[f], most->first}};
  }
  return {};
}

std::string end_sentence(const ordered_json& summary, const Debonding& all) {
  const double whole = bond_row(summary, "all", "all").at("end").at("debonded_fraction").get<double>();
  std::vector<std::pair<double, std::string>> walls;
  for (const auto& [wall, area] : all.area) walls.emplace_back(all.debonded_by.back().at(wall) / area, wall);
  std::ranges::sort(walls, std::greater<>());
  std::vector<std::string> words;
  for (const auto& [share, wall] : walls)
    words.push_back(fmt::format("{} of the {}", in_percent(share), spoken_wall(wall)));
  const double gap = bond_row(summary, "all", "all").at("end").at("largest_gap_um").get<double>();
  return fmt::format("by {}, {} of the bond has let go: {}; the widest gap is {:.1f} um.",
                     duration_text(all.times.back()), in_percent(whole), listed(words), gap);
}

/// What has let go of one plan, and where it began.
std::string plan_sentence(const std::string& name, const ordered_json& summary, const Debonding& all) {
  const auto first = first_to_go(all);
  if (!first) return fmt::format("In {}, nothing lets go up to {}.", name, duration_text(all.times.back()));
  return fmt::format("In {}, the first of the bond has let go by {} after it was cured, on the {}; {}", name,
                     duration_text(first->first), spoken_wall(first->second), end_sentence(summary, all));
}

Chart debonding_chart(const std::string& name, const Debonding& all) {
  Chart chart{.title = "How much of each wall has let go: " + name,
              .notes = {"Time since the bond was cured."},
              .x = {.label = "time [s]", .low = 0},
              .y = {.label = "debonded [% of the wall]", .low = 0}};
  int colour = 0;
  for (const auto& [wall, area] : all.area) {
    ChartSeries series{.name = wall, .colour = colour++, .shape = ChartSeries::Shape::line, .points = {}};
    for (std::size_t f = 0; f < all.times.size(); ++f)
      series.points.push_back({all.times[f], 100 * all.debonded_by[f].at(wall) / area});
    chart.series.push_back(series);
  }
  return chart;
}

}  // namespace

LessonChapter where_it_lets_go(LessonRuns& runs) {
  const std::vector<std::string> cases{"letting-go", "letting-go-layers"}, names{"bulk", "2 mm layers"};
  const std::vector<Result> results = runs.results_of(cases);
  LessonChapter chapter{
      .name = "letting-go",
      .title = "Where does it let go?",
      .sentences = {"The same box, filled in bulk and in 2 mm layers, with a bond that softens "
                    "where it is overloaded; both are cured to the floor."},
      .take_home =
          "A gap starts where the strength is reached first, and then runs as far as "
          "the stored energy drives it: it may stop within a wall, or take all of it.",
      .not_said =
          "How much lets go here rests on strengths of small sticks and on a filling "
          "that does not flow: compare the plans, do not expect these shares.",
      .charts = {},
      .pictures = {},
      .runs = cases};
  for (std::size_t plan = 0; plan < cases.size(); ++plan) {
    const Debonding all = read_debonding(results[plan]);
    chapter.sentences.push_back(plan_sentence(names[plan], read_summary(results[plan].folder), all));
    chapter.charts.push_back(debonding_chart(names[plan], all));
  }
  draw_comparison(results, names, runs.folder() / "letting-go-bond.png",
                  {.width = 1800, .moment = Moment::end});
  draw_cut(results, names, runs.folder() / "letting-go-cut.png", {.width = 1600, .axis = 0});
  chapter.pictures = {
      {"letting-go-bond.png", "The bond at the end under both plans; hatched where it has let go"},
      {"letting-go-cut.png", "Cuts through the box at the end, deformation magnified: gaps open"}};
  return chapter;
}

}  // namespace setstress
