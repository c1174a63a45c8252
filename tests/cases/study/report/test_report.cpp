#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <regex>
#include <sstream>

#include "cases/study/report/report.hpp"
#include "cases/study/report/report_data.hpp"
#include "cases/study/report/report_figures.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

/// A grid of waits, depths and plans made by hand; one run failed, one was refused.
ResultTable grid_table() {
  ResultTable table;
  table.study = "hand-made";
  table.title = "Wait & depth <by hand>";
  table.base = "deep-box-bulk";
  table.invented = true;
  table.dropped = 3;
  table.factors = {
      {"wait", "wait [s]", {"plan.increment[1].wait"}, {0.0, 60.0, 300.0}, 0.0, ""},
      {"depth", "floor depth [mm]", {"preparation.depth"}, {4.2, 5.4}, 4.2, ""},
      {"plan", "plan", {}, {std::string("bulk"), std::string("layers")}, std::string("bulk"), ""}};
  table.outputs = {{"floor_area", "bond[wall=floor].worst.area_fraction_above_1"},
                   {"chair_time", "chair_time_s"}};
  int number = 0;
  for (const double wait : {0.0, 60.0, 300.0})
    for (const double depth : {4.2, 5.4})
      for (const char* plan : {"bulk", "layers"}) {
        const bool layers = std::string(plan) == "layers";
        ResultRow row;
        row.number = ++number;
        row.point = number - 1;
        row.inputs = {wait, depth, std::string(plan)};
        row.status = RunStatus::done;
        row.outputs = {0.4 * std::exp(-wait / 100) * depth / (layers ? 2 : 1),
                       65 + wait + (layers ? 120 : 0)};
        row.seconds = 2;
        table.rows.push_back(row);
      }
  for (const auto& [at, status] : {std::pair{5, RunStatus::failed}, std::pair{10, RunStatus::refused}}) {
    ResultRow& row = table.rows[static_cast<std::size_t>(at)];
    row.status = status;
    row.outputs = {NAN, NAN};
    row.message = "no equilibrium at 12 s <floor>";
  }
  return table;
}

/// f = 3 x1 + x2 in the layout of a design for Sobol indices.
ResultTable index_table(int points) {
  ResultTable table;
  table.title = table.study = "indices";
  table.base = "base";
  table.design = Design::sobol_indices;
  table.factors = {{"strong", "", {"a"}, {0.5}, 0.5, "uniform (0 to 1)"},
                   {"weak", "", {"b"}, {0.5}, 0.5, "uniform (0 to 1)"}};
  table.outputs = {{"sum", "x"}};
  double state = 0.3;
  const auto draw = [&state] { return state = std::fmod(997 * state + 0.1234567, 1.0); };
  for (int point = 0; point < points; ++point) {
    const double a[2] = {draw(), draw()}, b[2] = {draw(), draw()};
    for (int block = 0; block < 4; ++block) {
      const double x1 = block == 1 || block == 2 ? b[0] : a[0], x2 = block == 1 || block == 3 ? b[1] : a[1];
      table.rows.push_back({static_cast<int>(table.rows.size()) + 1,
                            block,
                            point,
                            {x1, x2},
                            RunStatus::done,
                            {3 * x1 + x2},
                            "",
                            1});
    }
  }
  return table;
}

const Figure& figure(const OutputFigures& figures, const std::string& file) {
  for (const Figure& each : figures.figures)
    if (each.file == file) return each;
  FAIL("there is no figure " << file);
  throw std::logic_error("not reached");
}

std::string all_notes(const Chart& chart) {
  std::string notes;
  for (const std::string& note : chart.notes) notes += note + " ";
  return notes;
}

}  // namespace

TEST_CASE("Every plot of a study says how many runs it stands on, what failed and what was fixed",
          "[report]") {
  const OutputFigures figures = figures_of(grid_table(), 0);
  std::vector<std::string> files;
  for (const Figure& each : figures.figures) {
    files.push_back(each.file);
    const std::string notes = all_notes(each.chart);
    CHECK_THAT(notes, Catch::Contains(" of 12 runs; 1 failed, 1 refused; 3 combinations left out"));
    CHECK_THAT(notes, Catch::Contains("all else as in deep-box-bulk"));
  }
  CHECK(files == std::vector<std::string>{"floor_area-difference", "floor_area-better", "floor_area-pareto",
                                          "floor_area-by-wait", "floor_area-by-depth", "floor_area-by-plan",
                                          "floor_area-map-wait-plan", "floor_area-map-wait-depth",
                                          "floor_area-map-depth-plan", "floor_area-tornado",
                                          "floor_area-share-above"});
  REQUIRE(figures.remarks.size() == 2);
  CHECK_THAT(figures.remarks[0], Catch::Contains("What decides is told from 16 runs"));
  CHECK_THAT(figures.remarks[1],
             Catch::Contains("told by Sobol indices, which a design of kind grid cannot give"));
  CHECK_THAT(all_notes(figure(figures, "floor_area-share-above").chart),
             Catch::Contains("not a probability"));
}

TEST_CASE("Numbers in the plots are those of the table", "[report]") {
  const OutputFigures figures = figures_of(grid_table(), 0);
  const Chart& effect = figure(figures, "floor_area-by-wait").chart;
  // A line for each plan. Wait 0, bulk: 0.4 * (4.2 + 5.4) / 2 = 1.92; layers half of it.
  REQUIRE(effect.series.size() == 2);
  CHECK(effect.series[0].name == "bulk");
  CHECK(effect.series[0].points.at(0).y == Approx(1.92));
  CHECK(effect.series[1].points.at(0).y == Approx(0.96));
  CHECK(effect.series[1].points.size() == 3);

  const Chart& map = figure(figures, "floor_area-map-wait-depth").chart;
  REQUIRE(map.cells.size() == 6);
  CHECK(map.cells.at(0).text == "1.26");  // 0.4 * 4.2 * (1 + 0.5) / 2
  CHECK(map.cells.at(1).text == "1.62");  // 0.4 * 5.4 * (1 + 0.5) / 2

  const Chart& tornado = figure(figures, "floor_area-tornado").chart;  // about wait 0, depth 4.2, bulk: 1.68
  CHECK(tornado.y.words == std::vector<std::string>{"wait [s]", "plan", "floor depth [mm]"});
  CHECK(tornado.bars.at(0).to == Approx(1.68));
  CHECK(tornado.bars.at(0).from == Approx(1.68 * std::exp(-3.0)));
  CHECK(tornado.bars.at(1).from == Approx(0.84));
  CHECK(tornado.bars.at(2).to == Approx(2.16));

  const Chart& pareto = figure(figures, "floor_area-pareto").chart;
  CHECK(pareto.series.at(0).points.size() == 10);
  const std::vector<ChartPoint>& front = pareto.series.at(1).points;
  for (std::size_t i = 1; i < front.size(); ++i) {
    CHECK(front[i].x > front[i - 1].x);
    CHECK(front[i].y < front[i - 1].y);
  }
}

TEST_CASE("A design for Sobol indices gives them, with intervals", "[report]") {
  const ResultTable table = index_table(400);
  const OutputFigures figures = figures_of(table, 0);
  const Chart& chart = figure(figures, "sum-sobol-indices").chart;
  // 9/10 and 1/10 of the variance; 400 points leave about 0.1.
  CHECK(chart.series.at(1).points.at(0).x == Approx(0.9).margin(0.12));
  CHECK(chart.series.at(1).points.at(1).x == Approx(0.1).margin(0.05));
  CHECK(chart.bands.at(0).intervals.at(0).low < chart.series.at(0).points.at(0).x);
  CHECK_THAT(all_notes(chart), Catch::Contains("n = 400 base points, each 4 runs; 0 base points left out"));
  // Probabilities come from the independent draws A and B alone.
  CHECK_THAT(all_notes(figure(figures, "sum-probability").chart), Catch::Contains("n = 800 of 1600 runs"));
}

namespace {

/// 60 draws of a strength and of a film that does nothing, each for three plans, of which the third is the
/// second under another name: y = strength + (0 or 2 by plan) + noise of the draw.
ResultTable crossed_table(int missing = 0) {
  ResultTable table;
  table.title = table.study = "crossed";
  table.base = "base";
  table.design = Design::latin_hypercube;
  table.crossed = "plan";
  table.factors = {{"strength", "strength [MPa]", {"a"}, {10.0}, 10.0, "uniform (0 to 10)"},
                   {"plan",
                    "plan",
                    {},
                    {std::string("bulk"), std::string("layers"), std::string("again")},
                    std::string("bulk"),
                    ""},
                   {"film", "film [mm]", {"b"}, {0.5}, 0.5, "uniform (0 to 1)"}};
  table.outputs = {{"load", "x", {"load of the bond", "MPa", Better::lower}}};
  double state = 0.3;
  const auto draw = [&state] { return state = std::fmod(997 * state + 0.1234567, 1.0); };
  for (int point = 0; point < 60; ++point) {
    const double strength = 10 * draw(), film = draw(), noise = draw();
    for (int plan = 0; plan < 3; ++plan) {
      ResultRow row;
      row.number = static_cast<int>(table.rows.size()) + 1;
      row.block = plan, row.point = point;
      row.inputs = {strength, table.factors[1].values[static_cast<std::size_t>(plan)], film};
      const bool there = point >= missing || plan != 1;
      row.status = there ? RunStatus::done : RunStatus::failed;
      row.outputs = {there ? strength + noise + (plan == 0 ? 0 : strength > 5 ? 2 : -1) : NAN};
      table.rows.push_back(row);
    }
  }
  return table;
}

}  // namespace

TEST_CASE("Plans crossed with draws are set against each other draw by draw", "[report]") {
  const ResultTable table = crossed_table();
  const OutputFigures figures = figures_of(table, 0);
  int higher = 0;
  for (const ResultRow& row : table.rows) higher += row.block == 0 && std::get<double>(row.inputs[0]) > 5;
  const Chart& better = figure(figures, "load-better").chart;
  REQUIRE(better.y.words == std::vector<std::string>{"layers lower than bulk", "again lower than bulk",
                                                     "again lower than layers"});
  CHECK(better.series.at(0).points.at(0).x == Approx((60 - higher) / 60.0));
  CHECK(better.bands.at(0).intervals.at(0).low < better.series[0].points[0].x);
  CHECK(better.bands[0].intervals[0].high > better.series[0].points[0].x);
  // The same plan twice: a half to the last bit, and said to be no difference.
  CHECK(better.series[0].points.at(2).x == 0.5);
  CHECK_THAT(better.series[0].points[2].says, Catch::Contains("no difference in any"));
  const Chart& difference = figure(figures, "load-difference").chart;
  CHECK(difference.series.at(1).points.at(2).x == 0);
  CHECK(difference.bands.at(0).intervals.at(2).low == 0);
  CHECK(difference.bands[0].intervals[2].high == 0);
  CHECK_THAT(all_notes(difference),
             Catch::Contains("n = 60 draws.") && Catch::Contains("under the same draw"));
  REQUIRE(figures.pairs.size() == 3);
  CHECK_THAT(figures.pairs[0],
             Catch::Contains(fmt::format("layers is lower than bulk in {} of 60 draws; ", 60 - higher)));
  CHECK(figures.pairs[2] == "again and layers: no difference in any of 60 draws");
  // Strength decides which plan is the better; the film does nothing. Between equal plans nothing does.
  const Chart& decides = figure(figures, "load-difference-1-what-decides").chart;
  CHECK(decides.y.words == std::vector<std::string>{"strength [MPa]", "film [mm]"});
  for (const Figure& each : figures.figures) CHECK(each.file != "load-difference-3-what-decides");
}

TEST_CASE("Draws of which a plan has failed are left out of the pairs and counted", "[report]") {
  const OutputFigures figures = figures_of(crossed_table(7), 0);
  CHECK_THAT(all_notes(figure(figures, "load-better").chart),
             Catch::Contains("n = 53 of 60 draws; of the others a run"));
  CHECK_THAT(figures.pairs.at(0), Catch::Contains("of 53 draws"));
  CHECK_THAT(figures.pairs.at(1), Catch::Contains("of 60 draws"));
}

TEST_CASE("A report ranks the factors of any design, and gives lines to plans", "[report]") {
  const OutputFigures figures = figures_of(crossed_table(), 0);
  REQUIRE(figures.ranking);
  CHECK(figures.ranking->factors.at(0).label == "strength [MPa]");
  CHECK(figures.ranking->factors[0].share.share.value > 0.8);
  CHECK(figures.ranking->factors[0].rank->low > 0.9);
  CHECK(figures.ranking->factors.at(2).share.share.value < 0.1);
  CHECK_THAT(ranking_sentence(*figures.ranking),
             Catch::Contains("strength [MPa] ") && Catch::Contains("the more the higher"));
  const Chart& effect = figure(figures, "load-by-strength").chart;
  CHECK(effect.series.size() == 3);
  CHECK(effect.y.label == "load of the bond [MPa]");
  CHECK_THAT(all_notes(effect), Catch::Contains("a line for each plan") && Catch::Contains("Adjusted means"));
  // y rises with strength: without zig-zag but for the noise of a draw.
  for (std::size_t i = 1; i < effect.series[0].points.size(); ++i)
    CHECK(effect.series[0].points[i].y > effect.series[0].points[i - 1].y);
  CHECK_THAT(report_text(crossed_table()), Catch::Contains("load: share of the variance strength [MPa] ") &&
                                               Catch::Contains("MPa    load of the bond"));
}

TEST_CASE("Maps come by what their factors do, not by their order", "[report]") {
  // Five factors, of which the last two do everything.
  ResultTable table;
  table.title = table.study = "maps";
  table.base = "base";
  table.design = Design::random;
  for (const char* name : {"a", "b", "c", "d", "e"})
    table.factors.push_back({name, name, {name}, {0.5}, 0.5, "uniform (0 to 1)"});
  table.outputs = {{"y", "x"}};
  double state = 0.3;
  const auto draw = [&state] { return state = std::fmod(997 * state + 0.1234567, 1.0); };
  for (int r = 0; r < 200; ++r) {
    ResultRow row;
    row.number = r + 1, row.point = r, row.status = RunStatus::done;
    for (int f = 0; f < 5; ++f) row.inputs.emplace_back(draw());
    row.outputs = {std::get<double>(row.inputs[3]) * std::get<double>(row.inputs[4])};
    table.rows.push_back(row);
  }
  std::vector<std::string> maps;
  const OutputFigures figures = figures_of(table, 0);
  for (const Figure& each : figures.figures)
    if (each.file.starts_with("y-map-")) maps.push_back(each.file);
  CHECK(maps.size() == 6);
  CHECK(maps.at(0) == "y-map-d-e");
  CHECK_THAT(figures.remarks.at(1), Catch::Contains("Maps of 6 of 10 pairs"));
}

TEST_CASE("The page of a study stands alone and leads to its runs", "[report]") {
  const ScratchFolder folder;
  write_report(grid_table(), "my study.toml", folder / "report");
  std::ifstream file(folder / "report" / "report.html");
  std::stringstream content;
  content << file.rdbuf();
  const std::string page = content.str();
  CHECK_THAT(page, Catch::Contains("Wait &amp; depth &lt;by hand&gt;") &&
                       Catch::Contains("Invented for demonstration"));
  CHECK_THAT(page, Catch::Contains("12 runs: 10 done, 1 failed, 1 refused"));
  CHECK_THAT(page, Catch::Contains("setstress study case my study.toml 1 &gt; run-1.toml"));
  CHECK_THAT(page, Catch::Contains("no equilibrium at 12 s &lt;floor&gt;"));
  CHECK_THAT(page, Catch::Contains("not a medical device"));
  CHECK_FALSE(std::regex_search(page, std::regex("(src|href)=\"(https?:)?//")));  // nothing from the network
  CHECK(page == report_page(grid_table(), "my study.toml"));
  CHECK(std::filesystem::exists(folder / "report" / "figures" / "floor_area-tornado.svg"));
  CHECK(std::filesystem::exists(folder / "report" / "runs.csv"));
  write_report(grid_table(), "my study.toml", folder / "report");  // replaces its own
  folder.write("foreign", "mine");
  CHECK_THROWS(write_report(grid_table(), "my study.toml", folder / "foreign"));
}

TEST_CASE("A study of which nothing is made yet has a report that says so", "[report]") {
  ResultTable table = grid_table();
  for (ResultRow& row : table.rows) {
    row.status = RunStatus::planned;
    row.outputs = {NAN, NAN};
  }
  CHECK(figures_of(table, 0).figures.empty());
  CHECK_THAT(report_page(table, "s"),
             Catch::Contains("12 not made yet") && Catch::Contains("No run has a value yet"));
  CHECK_THAT(report_text(table), Catch::Contains("no run has a value"));
}
