#include "viz/chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "viz/chart_scale.hpp"
#include "viz/colours.hpp"
#include "viz/vtk_files.hpp"

namespace setstress {

namespace {

constexpr double width = 360, plot_height = 190, right = 12, line_height = 13;  // [px]
constexpr double letter = 5.6;                                                  // mean width [px]
constexpr int palette = 6;

std::vector<std::string> wrapped(const std::string& text, std::size_t most) {
  std::vector<std::string> lines(1);
  std::string word;
  const auto put = [&](char after) {
    if (!lines.back().empty() && lines.back().size() + word.size() > most) lines.emplace_back();
    lines.back() += word;
    if (after == ' ') lines.back() += ' ';
    word.clear();
  };
  for (const char each : text) {
    if (each != ' ') word += each;
    if (each == ' ' || each == '-' || each == '.' || each == '_') put(each);
  }
  put('\0');
  return lines;
}

std::string shortened(const std::string& text, std::size_t most) {
  return text.size() <= most ? text : text.substr(0, most - 1) + "…";
}

/// Draws one chart from top to bottom.
class Drawing {
 public:
  explicit Drawing(const Chart& chart) : chart_(chart) {
    title();
    legend();
    const double top = cursor_ + 22;
    const double height = chart.y.words.empty()
                              ? plot_height
                              : std::max(60.0, 26.0 * static_cast<double>(chart.y.words.size()));
    const ChartRange xs = x_range(chart), ys = y_range(chart);
    const double left = chart.y.words.empty() ? 44 : 118;
    x_ = {xs.low, xs.high, left, width - right};
    y_ = chart.y.words.empty() ? ChartScale{ys.low, ys.high, top + height, top}
                               : ChartScale{ys.low, ys.high, top, top + height};
    bottom_ = top + height;
    top_ = top;
    text(4, top - 6, "axis", chart.y.label);
    axes();
    marks();
    cursor_ = bottom_ + 14 + line_height * static_cast<double>(x_lines_) + 2;
    text((x_.start + x_.stop) / 2, cursor_, "axis", chart.x.label, "middle");
    notes();
  }
  [[nodiscard]] std::string svg(const std::string& style) const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" viewBox=\"0 0 {:g} {:.0f}\" role=\"img\" "
        "aria-label=\"{}\">{}{}</svg>\n",
        width, cursor_ + 6, markup_safe(chart_.title), style, body_);
  }

 private:
  template <class... Values>
  void add(fmt::format_string<Values...> format, Values&&... values) {
    fmt::format_to(std::back_inserter(body_), format, std::forward<Values>(values)...);
  }
  void text(double x, double y, const char* kind, const std::string& content, const char* anchor = "start") {
    add("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" class=\"{}\">{}</text>", x, y, anchor, kind,
        markup_safe(content));
  }
  static std::string says(const std::string& content) {
    return content.empty() ? "" : "<title>" + markup_safe(content) + "</title>";
  }
  void title() {
    for (const std::string& line : wrapped(chart_.title, 46)) text(4, cursor_ += 15, "title", line);
    cursor_ += 2;
  }
  void legend();
  void key(double x, double y, int colour, bool mark);
  void axes();
  void words_below();
  void marks();
  void cells();
  void bands();
  void series(const ChartSeries& series);
  void mark(double x, double y, int colour, const std::string& content);
  void rules();
  void notes() {
    for (const std::string& note : chart_.notes)
      for (const std::string& line : wrapped(note, 62)) text(4, cursor_ += line_height, "note", line);
  }

  const Chart& chart_;
  std::string body_;
  double cursor_ = 0, top_ = 0, bottom_ = 0;
  ChartScale x_{}, y_{};
  std::size_t x_lines_ = 1;
};

void Drawing::key(double x, double y, int colour, bool with_mark) {
  add("<path class=\"line c{}\" d=\"M{:.1f} {:.1f}h18\"/>", colour % palette, x, y);
  if (with_mark) mark(x + 9, y, colour, "");
}

void Drawing::legend() {
  double x = 4;
  bool started = false;
  const auto place = [&](const std::string& name) {
    const double needed = 24 + letter * static_cast<double>(name.size()) + 10;
    if (!started || x + needed > width) {
      cursor_ += line_height;
      x = 4;
      started = true;
    }
    const double at = x;
    text(at + 22, cursor_ + 3.5, "note", name);
    x += needed;
    return at;
  };
  for (const ChartSeries& each : chart_.series)
    if (!each.name.empty()) {
      const double at = place(each.name);
      key(at, cursor_, each.colour,
          each.shape == ChartSeries::Shape::dots || each.shape == ChartSeries::Shape::line_and_dots);
    }
  for (const ChartBand& band : chart_.bands)
    if (!band.name.empty()) {
      const double at = place(band.name);
      add("<rect class=\"band f{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"18\" height=\"8\"/>",
          band.colour % palette, at, cursor_ - 4);
    }
}

void Drawing::axes() {
  add("<path class=\"frame\" d=\"M{:.1f} {:.1f}V{:.1f}H{:.1f}\"/>", x_.start, top_, bottom_, x_.stop);
  if (chart_.x.words.empty())
    for (const double tick : round_ticks(x_.low, x_.high, 5)) {
      add("<path class=\"grid\" d=\"M{0:.1f} {1:.1f}V{2:.1f}\"/>", x_(tick), top_, bottom_);
      text(x_(tick), bottom_ + 13, "tick", fmt::format("{:.6g}", tick), "middle");
    }
  else
    words_below();
  if (chart_.y.words.empty())
    for (const double tick : round_ticks(y_.low, y_.high, 5)) {
      add("<path class=\"grid\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>", x_.start, y_(tick), x_.stop);
      text(x_.start - 5, y_(tick) + 3.5, "tick", fmt::format("{:.6g}", tick), "end");
    }
  else
    for (std::size_t i = 0; i < chart_.y.words.size(); ++i)
      text(x_.start - 5, y_(static_cast<double>(i)) + 3.5, "tick", shortened(chart_.y.words[i], 18), "end");
}

void Drawing::words_below() {
  const double slot = (x_.stop - x_.start) / static_cast<double>(chart_.x.words.size());
  const auto letters = std::max<std::size_t>(3, static_cast<std::size_t>(slot / letter));
  for (std::size_t i = 0; i < chart_.x.words.size(); ++i) {
    std::vector<std::string> lines = wrapped(chart_.x.words[i], letters);
    if (lines.size() > 3) lines.resize(3), lines.back() += "…";
    x_lines_ = std::max(x_lines_, lines.size());
    for (std::size_t k = 0; k < lines.size(); ++k)
      text(x_(static_cast<double>(i)), bottom_ + 13 + line_height * static_cast<double>(k), "tick",
           shortened(lines[k], letters + 1), "middle");
  }
}

void Drawing::cells() {
  for (const ChartCell& cell : chart_.cells) {
    const double x = x_(cell.x_low), y = std::min(y_(cell.y_low), y_(cell.y_high));
    const double wide = x_(cell.x_high) - x, high = std::abs(y_(cell.y_high) - y_(cell.y_low));
    const bool known = std::isfinite(cell.share);
    const double share = known ? std::clamp(cell.share, 0.0, 1.0) : 0;
    const Colour fill = from_lch(97 - 65 * share, 4 + 36 * share, 262);
    add("<g>{}<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" stroke=\"#8888\" ",
        says(cell.says), x, y, wide, high);
    if (known)
      add("fill=\"#{:02x}{:02x}{:02x}\"/>", std::lround(255 * fill[0]), std::lround(255 * fill[1]),
          std::lround(255 * fill[2]));
    else
      add("fill=\"none\" stroke-dasharray=\"2 2\"/>");
    if (wide > letter * static_cast<double>(cell.text.size()))
      add("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\" class=\"cell {}\">{}</text>", x + wide / 2,
          y + high / 2 + 3.5, known ? (share > 0.5 ? "on-dark" : "on-pale") : "on-none",
          markup_safe(cell.text));
    add("</g>");
  }
}

void Drawing::bands() {
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
      add("<polygon class=\"band f{}\" points=\"{}{}\"/>", band.colour % palette, there, back);
      continue;
    }
    for (const ChartInterval& i : band.intervals)
      if (band.shape == Shape::upright_whiskers)
        add("<path class=\"whisker c{0}\" d=\"M{1:.1f} {2:.1f}V{3:.1f}m-4 0h8M{4:.1f} {2:.1f}h8\"/>",
            band.colour % palette, x_(i.at), y_(i.low), y_(i.high), x_(i.at) - 4);
      else
        add("<path class=\"whisker c{0}\" d=\"M{1:.1f} {2:.1f}H{3:.1f}m0 -4v8M{1:.1f} {4:.1f}v8\"/>",
            band.colour % palette, x_(i.low), y_(i.at), x_(i.high), y_(i.at) - 4);
  }
}

void Drawing::mark(double x, double y, int colour, const std::string& content) {
  const int which = colour % palette;
  static constexpr const char* shapes[palette] = {
      "m-3.2 0a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0 -6.4 0z",
      "m-3 -3h6v6h-6z",
      "m0 -4l3.8 7h-7.6z",
      "m0 -4.2l4.2 4.2l-4.2 4.2l-4.2 -4.2z",
      "m0 4l3.8 -7h-7.6z",
      "m-3.4 -1.2h2.2v-2.2h2.4v2.2h2.2v2.4h-2.2v2.2h-2.4v-2.2h-2.2z"};
  add("<path class=\"mark f{}\" d=\"M{:.1f} {:.1f}{}\">{}</path>", which, x, y, shapes[which], says(content));
}

void Drawing::series(const ChartSeries& each) {
  using Shape = ChartSeries::Shape;
  if (each.shape != Shape::dots && each.points.size() > 1) {
    std::string path = fmt::format("M{:.1f} {:.1f}", x_(each.points[0].x), y_(each.points[0].y));
    for (std::size_t i = 1; i < each.points.size(); ++i) {
      if (each.shape == Shape::steps) path += fmt::format("H{:.1f}", x_(each.points[i].x));
      path += fmt::format("L{:.1f} {:.1f}", x_(each.points[i].x), y_(each.points[i].y));
    }
    add("<path class=\"line c{}\" d=\"{}\"/>", each.colour % palette, path);
  }
  if (each.shape == Shape::dots || each.shape == Shape::line_and_dots)
    for (const ChartPoint& point : each.points) mark(x_(point.x), y_(point.y), each.colour, point.says);
}

void Drawing::rules() {
  for (const ChartRule& rule : chart_.rules)
    if (rule.upright) {
      add("<path class=\"rule\" d=\"M{:.1f} {:.1f}V{:.1f}\"/>", x_(rule.at), top_, bottom_);
      text(x_(rule.at) + 3, chart_.y.words.empty() ? top_ + 10 : top_ - 5, "note", rule.name);
    } else {
      add("<path class=\"rule\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>", x_.start, y_(rule.at), x_.stop);
      text(x_.stop, y_(rule.at) - 4, "note", rule.name, "end");
    }
}

void Drawing::marks() {
  cells();
  bands();
  for (const ChartBar& bar : chart_.bars) {
    const double from = x_(std::min(bar.from, bar.to)), to = x_(std::max(bar.from, bar.to));
    add("<rect class=\"f{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"14\">{}</rect>",
        bar.colour % palette, from, y_(bar.row) - 7, std::max(1.0, to - from), says(bar.says));
  }
  for (const ChartSeries& each : chart_.series) series(each);
  rules();
}

}  // namespace

std::string markup_safe(const std::string& text) {
  std::string safe;
  for (const char each : text) {
    if (each == '&')
      safe += "&amp;";
    else if (each == '<')
      safe += "&lt;";
    else if (each == '>')
      safe += "&gt;";
    else if (each == '"')
      safe += "&quot;";
    else
      safe += each;
  }
  return safe;
}

std::string chart_style() {
  return R"(.chart{--ink:#1d1d1f;--faint:#0000001c;--quiet:#55585e;--k0:#0064a8;--k1:#c04f00;--k2:#00795a;--k3:#a0437c;--k4:#8a6d00;--k5:#5f6368;font-family:system-ui,sans-serif;color:var(--ink);width:100%;height:auto;display:block}
@media(prefers-color-scheme:dark){.chart{--ink:#ececf0;--faint:#ffffff24;--quiet:#b0b3ba;--k0:#6ab7f5;--k1:#ff9a55;--k2:#4fd0a5;--k3:#ef9bcb;--k4:#e8c34a;--k5:#a8adb5}}
.chart text{font-size:10.5px;fill:var(--ink)}.chart .title{font-size:12.5px;font-weight:600}.chart .note,.chart .tick{fill:var(--quiet)}.chart .cell{font-size:10px}.chart .on-dark{fill:#fff}.chart .on-pale{fill:#111}.chart .on-none{fill:var(--quiet)}
.chart .frame{fill:none;stroke:var(--quiet)}.chart .grid{stroke:var(--faint);fill:none}.chart .rule{stroke:var(--ink);stroke-dasharray:5 3;fill:none}
.chart .line{fill:none;stroke-width:1.8}.chart .whisker{fill:none;stroke-width:1.3}.chart .band{fill-opacity:.2}
.chart .c0{stroke:var(--k0)}.chart .c1{stroke:var(--k1)}.chart .c2{stroke:var(--k2)}.chart .c3{stroke:var(--k3)}.chart .c4{stroke:var(--k4)}.chart .c5{stroke:var(--k5)}
.chart .line.c1{stroke-dasharray:7 3}.chart .line.c2{stroke-dasharray:2 3}.chart .line.c3{stroke-dasharray:8 3 2 3}.chart .line.c4{stroke-dasharray:4 2}.chart .line.c5{stroke-dasharray:1 2}
.chart .f0{fill:var(--k0)}.chart .f1{fill:var(--k1)}.chart .f2{fill:var(--k2)}.chart .f3{fill:var(--k3)}.chart .f4{fill:var(--k4)}.chart .f5{fill:var(--k5)}
)";
}

std::string chart_svg(const Chart& chart) {
  return Drawing(chart).svg("");
}

std::string chart_file(const Chart& chart) {
  Chart whole = chart;
  whole.notes.emplace_back(caution_line);
  const std::string paper =
      "svg.chart{background:#fff}@media(prefers-color-scheme:dark){svg.chart{background:#17181b}}";
  return Drawing(whole).svg("<style>" + chart_style() + paper + "</style>");
}

}  // namespace setstress
