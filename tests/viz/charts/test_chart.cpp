#include <catch2/catch.hpp>

#include <limits>
#include <regex>
#include <stack>

#include "viz/charts/chart.hpp"
#include "viz/charts/chart_scale.hpp"

using namespace setstress;

namespace {

Chart example() {
  Chart chart{"Floor & axial wall <both>", {"n = 3 of 4 runs; 1 failed"}, {"wait [s]"}, {"area [%]"}};
  chart.series.push_back(
      {"plan \"A\"", 0, ChartSeries::Shape::line_and_dots, {{0, 80, "at 0 s"}, {60, 40}, {300, 5}}});
  chart.bands.push_back({"spread", 0, ChartBand::Shape::shaded, {{0, 70, 90}, {300, 0, 10}}});
  chart.rules.push_back({5, false, "limit"});
  return chart;
}

/// Whether every element that is opened is closed, in order.
bool well_formed(const std::string& svg) {
  static const std::regex tag("<(/?)([a-z]+)[^>]*?(/?)>");
  std::stack<std::string> open;
  for (std::sregex_iterator each(svg.begin(), svg.end(), tag), end; each != end; ++each) {
    if ((*each)[3].length() > 0) continue;
    if ((*each)[1].length() == 0) {
      open.push((*each)[2]);
    } else {
      if (open.empty() || open.top() != (*each)[2]) return false;
      open.pop();
    }
  }
  return open.empty();
}

}  // namespace

TEST_CASE("A chart is well-formed SVG that says what it shows", "[chart]") {
  const std::string svg = chart_svg(example());
  CHECK(well_formed(svg));
  CHECK_THAT(svg, Catch::Contains("Floor &amp; axial wall &lt;both&gt;"));
  CHECK_THAT(svg, Catch::Contains("plan &quot;A&quot;"));
  CHECK_THAT(svg, Catch::Contains("n = 3 of 4 runs; 1 failed"));
  CHECK_THAT(svg, Catch::Contains("<title>at 0 s</title>"));
  const std::string file = chart_file(example());
  CHECK_THAT(file, Catch::Contains("not a medical") && Catch::Contains("prefers-color-scheme:dark"));
  CHECK(file == chart_file(example()));
}

TEST_CASE("Every kind of mark is drawn where its numbers are", "[chart]") {
  Chart map{"Map", {}, {"wait", {"0", "60"}}, {"depth", {"4", "5"}}};
  map.cells = {{-0.5, 0.5, -0.5, 0.5, 0.0, "low"},
               {0.5, 1.5, 0.5, 1.5, std::numeric_limits<double>::quiet_NaN(), "none"}};
  const std::string cells = chart_svg(map);
  CHECK(well_formed(cells));
  // The words axis leaves 118 on the left and 12 on the right of 360: each of two cells is 115 wide.
  CHECK_THAT(cells, Catch::Contains("x=\"118.0\"") && Catch::Contains("x=\"233.0\"") &&
                        Catch::Contains("width=\"115.0\""));
  CHECK_THAT(cells, Catch::Contains("stroke-dasharray"));  // the cell without a value

  Chart bars{"Reach", {}, {"area"}, {"", {"wait", "depth"}}};
  bars.x.low = 0;
  bars.x.high = 100;
  bars.bars = {{0, 0, 50, 0}, {1, 100, 50, 1}};
  const std::string drawn = chart_svg(bars);
  CHECK(well_formed(drawn));
  CHECK_THAT(drawn, Catch::Contains("x=\"118.0\" y=\"") && Catch::Contains("width=\"115.0\" height=\"14\""));
}

TEST_CASE("Round ticks lie within the axis, by steps of 1, 2 or 5", "[chart]") {
  CHECK(round_ticks(0, 100, 5) == std::vector<double>{0, 20, 40, 60, 80, 100});
  CHECK(round_ticks(-0.3, 0.9, 5) == std::vector<double>{-0.2, 0.0, 0.2, 0.4, 0.6000000000000001, 0.8});
  for (const double tick : round_ticks(0.00012, 0.00079, 6)) CHECK((tick >= 0.00012 && tick <= 0.00079));
}

TEST_CASE("Numbers below a chart have room beside each other", "[chart]") {
  Chart bars{"Why", {}, {"part"}, {"", {"floor", "placing"}}};
  bars.bars = {{0, -0.142, 0, 0}, {1, 0, 0.012, 1}};
  const std::string drawn = chart_svg(bars);
  static const std::regex below(
      "x=\"([0-9.]+)\" y=\"[0-9.]+\" text-anchor=\"middle\" class=\"tick\">([^<]*)<");
  double end = 0;
  for (std::sregex_iterator each(drawn.begin(), drawn.end(), below), last; each != last; ++each) {
    constexpr double letter = 5.6;
    const double half = 0.5 * letter * static_cast<double>((*each)[2].length()),
                 middle = std::stod((*each)[1]);
    CHECK(middle - half > end);
    end = middle + half;
  }
  CHECK(end > 0);
  bars.rules.push_back(
      {0, true, "alike in both"});  // at the right end, where its name has no room on the right
  static const std::regex name(
      "x=\"([0-9.]+)\" y=\"[0-9.]+\" text-anchor=\"end\" class=\"note\">alike in both<");
  CHECK(std::regex_search(chart_svg(bars), name));
}

TEST_CASE("A chart that cannot be drawn is refused", "[chart]") {
  CHECK_THROWS_WITH(chart_svg(Chart{"empty", {}, {"x"}, {"y"}}),
                    Catch::Contains("nothing") || Catch::Contains("anything"));
  Chart chart = example();
  chart.series[0].points[1].y = std::numeric_limits<double>::infinity();
  CHECK_THROWS_WITH(chart_svg(chart), Catch::Contains("not finite"));
}
