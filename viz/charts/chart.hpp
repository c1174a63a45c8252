#pragma once
// Charts as SVG text: figure files, and the same unchanged inside pages. Light or dark follows the reader's
// setting; lines differ in dash and mark as well as in colour, so that they survive greyscale.

#include <optional>
#include <string>
#include <vector>

namespace setstress {

struct ChartAxis {
  std::string label;                    ///< what and unit
  std::vector<std::string> words = {};  ///< names of positions 0, 1, 2, ...: an axis of words, not numbers
  std::optional<double> low = {}, high = {};  ///< ends; from the data unless given
};

struct ChartPoint {
  double x, y;
  std::string says = {};  ///< shown when pointed at; may be empty
};

/// Points, joined by a line or not.
struct ChartSeries {
  enum class Shape { line, steps, dots, line_and_dots };
  std::string name;  ///< for the legend; empty: not in it
  int colour;        ///< 0, 1, 2, ... of the palette
  Shape shape;
  std::vector<ChartPoint> points;
};

/// Interval of y (of x for whiskers that lie) at a position.
struct ChartInterval {
  double at, low, high;
};
/// Shaded between low and high, or whiskers at each position.
struct ChartBand {
  enum class Shape { shaded, steps, upright_whiskers, lying_whiskers };
  std::string name;
  int colour;
  Shape shape;
  std::vector<ChartInterval> intervals;
};

/// Lying bar at row `row` of an upright axis of words.
struct ChartBar {
  double row, from, to;
  int colour;
  std::string says = {};
  std::string name = {};  ///< for the legend, where bars of one name are told once; empty: not in it
};

/// Cell of a map, coloured by `share` in [0, 1] from pale to dark.
struct ChartCell {
  double x_low, x_high, y_low, y_high;
  double share;      ///< NaN: hatched, no value
  std::string text;  ///< inside
  std::string says = {};
};

/// Line across the whole chart.
struct ChartRule {
  double at;
  bool upright;
  std::string name;
};

struct Chart {
  std::string title;
  std::vector<std::string> notes;  ///< below: how many, what failed, what was held fixed
  ChartAxis x, y;
  std::vector<ChartCell> cells = {};
  std::vector<ChartBar> bars = {};
  std::vector<ChartBand> bands = {};
  std::vector<ChartSeries> series = {};
  std::vector<ChartRule> rules = {};
};

/// The chart as an <svg> element, 360 wide, for a page that holds chart_style(). Throws std::invalid_argument
/// for a chart without anything to draw and for a value that is not finite.
std::string chart_svg(const Chart& chart);

/// The chart as a file of its own, with its style and the caution line. Throws as chart_svg().
std::string chart_file(const Chart& chart);

/// Style sheet of all charts; without `dark_too` for charts that always stand on white.
std::string chart_style(bool dark_too = true);

/// `text` with <, >, & and quotes made safe for SVG and HTML.
std::string markup_safe(const std::string& text);

}  // namespace setstress
