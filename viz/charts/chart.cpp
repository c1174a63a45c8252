#include "viz/charts/chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "viz/charts/chart_marks.hpp"
#include "viz/charts/chart_pen.hpp"
#include "viz/charts/chart_scale.hpp"
#include "viz/charts/chart_text.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace {

constexpr double chart_width = 360, plot_height = 190, right_margin = 12, line_height = 13;  // [px]
constexpr std::size_t letters_beside = 18;  // of a word on the left
constexpr std::size_t most_letters = 62;    // in its width

/// Of an upright axis of words [px]: room for the lines of the longest.
double row_height(const Chart& chart) {
  constexpr std::size_t lines_in_usual = 2;
  constexpr double usual = 26, with_a_line_more = 37;
  return std::ranges::any_of(
             chart.y.words,
             [](const std::string& word) { return wrapped(word, letters_beside).size() > lines_in_usual; })
             ? with_a_line_more
             : usual;
}

/// Lays one chart out from top to bottom: title, legend, axes around the marks, notes.
class ChartSheet {
 public:
  explicit ChartSheet(const Chart& chart) : chart_(chart) {
    title();
    legend();
    const std::vector<std::string> above = wrapped(chart.y.label, most_letters);
    const double top = cursor_ + 22 + line_height * static_cast<double>(above.size() - 1);
    const double height = chart.y.words.empty()
                              ? plot_height
                              : std::max(60.0, row_height(chart) * static_cast<double>(chart.y.words.size()));
    const ChartRange xs = x_range(chart), ys = y_range(chart);
    const double left = chart.y.words.empty() ? 44 : 118;
    frame_.x = {xs.low, xs.high, left, chart_width - right_margin};
    frame_.y = chart.y.words.empty() ? ChartScale{ys.low, ys.high, top + height, top}
                                     : ChartScale{ys.low, ys.high, top, top + height};
    frame_.bottom = top + height;
    frame_.top = top;
    for (std::size_t i = 0; i < above.size(); ++i)
      pen_.text(4, top - 6 - line_height * static_cast<double>(above.size() - 1 - i), "axis", above[i]);
    axes();
    draw_marks(pen_, chart, frame_);
    cursor_ = frame_.bottom + 16 + line_height * static_cast<double>(x_lines_ - 1);
    const auto letters = static_cast<std::size_t>((frame_.x.stop - frame_.x.start) / ChartPen::letter);
    for (const std::string& line : wrapped(chart.x.label, letters))
      pen_.text((frame_.x.start + frame_.x.stop) / 2, cursor_ += line_height, "axis", line, "middle");
    notes();
  }
  [[nodiscard]] std::string svg(const std::string& style) const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" viewBox=\"0 0 {:g} {:.0f}\" role=\"img\" "
        "aria-label=\"{}\">{}{}</svg>\n",
        chart_width, cursor_ + 6, markup_safe(chart_.title), style, pen_.drawn());
  }

 private:
  void title() {
    for (const std::string& line : wrapped(chart_.title, 46)) pen_.text(4, cursor_ += 15, "title", line);
    cursor_ += 2;
  }
  void legend();
  void key(double x, double y, int colour, bool with_mark);
  void axes();
  void words_below();
  void word_beside(const std::string& word, double y);
  void notes() {
    for (const std::string& note : chart_.notes)
      for (const std::string& line : wrapped(note, most_letters))
        pen_.text(4, cursor_ += line_height, "note", line);
  }

  const Chart& chart_;
  ChartPen pen_;
  double cursor_ = 0;
  ChartFrame frame_{};
  std::size_t x_lines_ = 1;
};

/// Of ticks below a chart no more than have room beside each other.
std::vector<double> ticks_below(const ChartScale& x) {
  std::vector<double> ticks;
  for (int wanted = 5; wanted > 0; --wanted) {
    ticks = round_ticks(x.low, x.high, wanted);
    if (ticks.size() < 2) break;
    std::size_t letters = 1;  // between two
    for (const double tick : ticks) letters = std::max(letters, fmt::format("{:.6g}", tick).size() + 1);
    if (ChartPen::letter * static_cast<double>(letters) <= x(ticks[1]) - x(ticks[0])) break;
  }
  return ticks;
}

void ChartSheet::key(double x, double y, int colour, bool with_mark) {
  pen_.add("<path class=\"line c{}\" d=\"M{:.1f} {:.1f}h18\"/>", colour % ChartPen::palette, x, y);
  if (with_mark) pen_.mark(x + 9, y, colour, "");
}

void ChartSheet::legend() {
  double x = 4;
  bool started = false;
  const auto place = [&](const std::string& name) {
    const double needed = 24 + ChartPen::letter * static_cast<double>(name.size()) + 10;
    if (!started || x + needed > chart_width) {
      cursor_ += line_height;
      x = 4;
      started = true;
    }
    const double at = x;
    pen_.text(at + 22, cursor_ + 3.5, "note", name);
    x += needed;
    return at;
  };
  for (const ChartSeries& each : chart_.series)
    if (!each.name.empty()) {
      const double at = place(each.name);
      key(at, cursor_, each.colour,
          each.shape == ChartSeries::Shape::dots || each.shape == ChartSeries::Shape::line_and_dots);
    }
  const auto patch = [&](const std::string& name, const char* kind, int colour) {
    if (name.empty()) return;
    const double at = place(name);
    pen_.add("<rect class=\"{}f{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"18\" height=\"8\"/>", kind,
             colour % ChartPen::palette, at, cursor_ - 4);
  };
  for (const ChartBand& band : chart_.bands) patch(band.name, "band ", band.colour);
  std::set<std::string> told;
  for (const ChartBar& bar : chart_.bars)
    if (told.insert(bar.name).second) patch(bar.name, "", bar.colour);
}

void ChartSheet::axes() {
  pen_.add("<path class=\"frame\" d=\"M{:.1f} {:.1f}V{:.1f}H{:.1f}\"/>", frame_.x.start, frame_.top,
           frame_.bottom, frame_.x.stop);
  if (chart_.x.words.empty())
    for (const double tick : ticks_below(frame_.x)) {
      pen_.add("<path class=\"grid\" d=\"M{0:.1f} {1:.1f}V{2:.1f}\"/>", frame_.x(tick), frame_.top,
               frame_.bottom);
      pen_.text(frame_.x(tick), frame_.bottom + 13, "tick", fmt::format("{:.6g}", tick), "middle");
    }
  else
    words_below();
  if (chart_.y.words.empty())
    for (const double tick : round_ticks(frame_.y.low, frame_.y.high, 5)) {
      pen_.add("<path class=\"grid\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>", frame_.x.start, frame_.y(tick),
               frame_.x.stop);
      pen_.text(frame_.x.start - 5, frame_.y(tick) + 3.5, "tick", fmt::format("{:.6g}", tick), "end");
    }
  else
    for (std::size_t i = 0; i < chart_.y.words.size(); ++i)
      word_beside(chart_.y.words[i], frame_.y(static_cast<double>(i)));
}

/// In three lines at most.
void ChartSheet::word_beside(const std::string& word, double y) {
  constexpr std::size_t most_lines = 3;
  constexpr double lines_apart = 11;
  std::vector<std::string> lines = wrapped(word, letters_beside);
  if (lines.size() > most_lines) lines.resize(most_lines), lines.back() += "…";
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const double down = lines_apart * (static_cast<double>(k) - 0.5 * static_cast<double>(lines.size() - 1));
    pen_.text(frame_.x.start - 5, y + 3.5 + down, "tick", shortened(lines[k], letters_beside + 1), "end");
  }
}

void ChartSheet::words_below() {
  const double slot = (frame_.x.stop - frame_.x.start) / static_cast<double>(chart_.x.words.size());
  const auto letters = std::max<std::size_t>(3, static_cast<std::size_t>(slot / ChartPen::letter));
  for (std::size_t i = 0; i < chart_.x.words.size(); ++i) {
    std::vector<std::string> lines = wrapped(chart_.x.words[i], letters);
    if (lines.size() > 3) lines.resize(3), lines.back() += "…";
    x_lines_ = std::max(x_lines_, lines.size());
    for (std::size_t k = 0; k < lines.size(); ++k)
      pen_.text(frame_.x(static_cast<double>(i)), frame_.bottom + 13 + line_height * static_cast<double>(k),
                "tick", shortened(lines[k], letters + 1), "middle");
  }
}

}  // namespace

std::string chart_svg(const Chart& chart) {
  return ChartSheet(chart).svg("");
}

std::string chart_file(const Chart& chart) {
  Chart whole = chart;
  whole.notes.emplace_back(caution_line);
  const std::string paper =
      "svg.chart{background:#fff}@media(prefers-color-scheme:dark){svg.chart{background:#17181b}}";
  return ChartSheet(whole).svg("<style>" + chart_style() + paper + "</style>");
}

}  // namespace setstress
