#include "viz/charts/chart_marks.hpp"

#include <algorithm>
#include <cmath>

#include "viz/drawing/colours.hpp"

namespace setstress {

namespace {

class ChartMarks {
 public:
  ChartMarks(ChartPen& pen, const Chart& chart, const ChartFrame& frame)
      : pen_(pen), chart_(chart), x_(frame.x), y_(frame.y), top_(frame.top), bottom_(frame.bottom) {}
  void draw();

 private:
  void cells();
  void bands();
  void series(const ChartSeries& series);
  void rules();

  ChartPen& pen_;
  const Chart& chart_;
  ChartScale x_, y_;
  double top_, bottom_;
};

void ChartMarks::cells() {
  for (const ChartCell& cell : chart_.cells) {
    const double x = x_(cell.x_low), y = std::min(y_(cell.y_low), y_(cell.y_high));
    const double wide = x_(cell.x_high) - x, high = std::abs(y_(cell.y_high) - y_(cell.y_low));
    const bool known = std::isfinite(cell.share);
    const double share = known ? std::clamp(cell.share, 0.0, 1.0) : 0;
    const Colour fill = from_lch(97 - 65 * share, 4 + 36 * share, 262);
    pen_.add("<g>{}<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" stroke=\"#8888\" ",
             ChartPen::says(cell.says), x, y, wide, high);
    if (known)
      pen_.add("fill=\"{}\"/>", hex(fill));
    else
      pen_.add("fill=\"none\" stroke-dasharray=\"2 2\"/>");
    if (wide > ChartPen::letter * static_cast<double>(cell.text.size()))
      pen_.add("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\" class=\"cell {}\">{}</text>",
               x + wide / 2, y + high / 2 + 3.5, known ? (share > 0.5 ? "on-dark" : "on-pale") : "on-none",
               markup_safe(cell.text));
    pen_.add("</g>");
  }
}

void ChartMarks::bands() {
  using Shape = ChartBand::Shape;
  for (const ChartBand& band : chart_.bands) {
    if (band.shape == Shape::shaded || band.shape == Shape::steps) {
      if (band.intervals.empty()) continue;
      std::string there, back;
      double before_low = band.intervals.front().low, before_high = band.intervals.front().high;
      for (const ChartInterval& i : band.intervals) {
        if (band.shape == Shape::steps) {
          there += fmt::format("{:.1f} {:.1f} ", x_(i.at), y_(before_low));
          back.insert(0, fmt::format("{:.1f} {:.1f} ", x_(i.at), y_(before_high)));
        }
        there += fmt::format("{:.1f} {:.1f} ", x_(i.at), y_(i.low));
        back.insert(0, fmt::format("{:.1f} {:.1f} ", x_(i.at), y_(i.high)));
        before_low = i.low, before_high = i.high;
      }
      pen_.add("<polygon class=\"band f{}\" points=\"{}{}\"/>", band.colour % ChartPen::palette, there, back);
      continue;
    }
    for (const ChartInterval& i : band.intervals)
      if (band.shape == Shape::upright_whiskers)
        pen_.add("<path class=\"whisker c{0}\" d=\"M{1:.1f} {2:.1f}V{3:.1f}m-4 0h8M{4:.1f} {2:.1f}h8\"/>",
                 band.colour % ChartPen::palette, x_(i.at), y_(i.low), y_(i.high), x_(i.at) - 4);
      else
        pen_.add("<path class=\"whisker c{0}\" d=\"M{1:.1f} {2:.1f}H{3:.1f}m0 -4v8M{1:.1f} {4:.1f}v8\"/>",
                 band.colour % ChartPen::palette, x_(i.low), y_(i.at), x_(i.high), y_(i.at) - 4);
  }
}

void ChartMarks::series(const ChartSeries& each) {
  using Shape = ChartSeries::Shape;
  if (each.shape != Shape::dots && each.points.size() > 1) {
    std::string path = fmt::format("M{:.1f} {:.1f}", x_(each.points[0].x), y_(each.points[0].y));
    for (std::size_t i = 1; i < each.points.size(); ++i) {
      if (each.shape == Shape::steps) path += fmt::format("H{:.1f}", x_(each.points[i].x));
      path += fmt::format("L{:.1f} {:.1f}", x_(each.points[i].x), y_(each.points[i].y));
    }
    pen_.add("<path class=\"line c{}\" d=\"{}\"/>", each.colour % ChartPen::palette, path);
  }
  if (each.shape == Shape::dots || each.shape == Shape::line_and_dots)
    for (const ChartPoint& point : each.points) pen_.mark(x_(point.x), y_(point.y), each.colour, point.says);
}

void ChartMarks::rules() {
  for (const ChartRule& rule : chart_.rules)
    if (rule.upright) {
      pen_.add("<path class=\"rule\" d=\"M{:.1f} {:.1f}V{:.1f}\"/>", x_(rule.at), top_, bottom_);
      const double y = chart_.y.words.empty() ? top_ + 10 : top_ - 5;
      const double end = x_(rule.at) + 3 + ChartPen::letter * static_cast<double>(rule.name.size());
      if (end <= x_.stop + 2 * ChartPen::letter)  // the margin on the right
        pen_.text(x_(rule.at) + 3, y, "note", rule.name);
      else
        pen_.text(x_(rule.at) - 3, y, "note", rule.name, "end");
    } else {
      pen_.add("<path class=\"rule\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>", x_.start, y_(rule.at), x_.stop);
      pen_.text(x_.stop, y_(rule.at) - 4, "note", rule.name, "end");
    }
}

void ChartMarks::draw() {
  cells();
  bands();
  for (const ChartBar& bar : chart_.bars) {
    const double from = x_(std::min(bar.from, bar.to)), to = x_(std::max(bar.from, bar.to));
    pen_.add("<rect class=\"f{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"14\">{}</rect>",
             bar.colour % ChartPen::palette, from, y_(bar.row) - 7, std::max(1.0, to - from),
             ChartPen::says(bar.says));
  }
  for (const ChartSeries& each : chart_.series) series(each);
  rules();
}

}  // namespace

void draw_marks(ChartPen& pen, const Chart& chart, const ChartFrame& frame) {
  ChartMarks(pen, chart, frame).draw();
}

}  // namespace setstress
