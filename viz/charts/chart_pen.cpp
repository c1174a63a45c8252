#include "viz/charts/chart_pen.hpp"

#include "viz/charts/chart.hpp"

namespace setstress {

void ChartPen::text(double x, double y, const char* kind, const std::string& content, const char* anchor) {
  add("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" class=\"{}\">{}</text>", x, y, anchor, kind,
      markup_safe(content));
}

std::string ChartPen::says(const std::string& content) {
  return content.empty() ? "" : "<title>" + markup_safe(content) + "</title>";
}

void ChartPen::mark(double x, double y, int colour, const std::string& content) {
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

}  // namespace setstress
