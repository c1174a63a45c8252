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
      const std::string& name = bond.walls.at(static_cast<std::size_t>(wall(row, 0)));
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
  return fmt::format(
      "{} after the bond was cured, {} of the bond has let go: {}; the widest gap is {:.1f} um.",
      duration_text(all.times.back()), in_percent(whole), listed(words), gap);
}

Chart debonding_chart(const Debonding& all) {
  Chart chart{.title = "How much of each wall has let go",
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
  const std::vector<Result> results = runs.results_of({"letting-go"});
  const ordered_json summary = read_summary(results.front().folder);
  const Debonding all = read_debonding(results.front());
  LessonChapter chapter{.name = "letting-go",
                        .title = "Where does it let go?",
                        .sentences = {},
                        .charts = {debonding_chart(all)},
                        .pictures = {},
                        .runs = {"letting-go"}};
  if (const auto first = first_to_go(all)) {
    chapter.sentences = {
        fmt::format(
            "The first of the bond has let go by {} after it was cured, on the {}; from there the load "
            "moves on to what still holds.",
            duration_text(first->first), spoken_wall(first->second)),
        end_sentence(summary, all)};
  } else {
    chapter.sentences = {fmt::format("Nothing lets go up to {}: the bond stays ahead of the pull everywhere.",
                                     duration_text(all.times.back()))};
  }
  draw_bond(results.front(), runs.folder() / "letting-go-bond.png", {.width = 1800});
  draw_deformed(results, {"end"}, runs.folder() / "letting-go-deformed.png", {.width = 1200});
  chapter.pictures = {{"letting-go-bond.png",
                       "The bond when its strength is first reached and at the end; "
                       "hatched where it has let go"},
                      {"letting-go-deformed.png", "Tooth and filling at the end, deformation magnified"}};
  return chapter;
}

}  // namespace setstress
