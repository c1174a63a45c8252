#include "tests/report/write_html.hpp"

#include <fmt/format.h>

#include <cmath>

#include "viz/charts/chart.hpp"
#include "viz/words/caution.hpp"

namespace setstress::testing {

namespace {

using nlohmann::json;

constexpr const char* style = R"(
body { font: 16px/1.5 system-ui, sans-serif; max-width: 62rem; margin: 2rem auto; padding: 0 1rem; color: #1c2733;
  background: #fff; }
h1 { line-height: 1.2; } h2 { margin-top: 3rem; border-bottom: 1px solid #8899aa; } h3 { margin: 2.2rem 0 .4rem; }
p { margin: .3rem 0; } table { border-collapse: collapse; margin: .6rem 0; font-size: .92rem; width: 100%; }
th, td { text-align: left; padding: .2rem .6rem .2rem 0; border-bottom: 1px solid #d5dde5; vertical-align: top; }
td.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
th.number { text-align: right; } .about { color: #44566a; font-size: .92rem; }
.verdict { border-left: .3rem solid #c47b00; padding: .2rem .8rem; background: #fff7e6; margin: .6rem 0; }
.off { color: #b00020; font-weight: 600; } .caution { border: 1px solid #8899aa; padding: .5rem .8rem; }
.plots svg { width: 30rem; max-width: 100%; height: auto; } .scroll { overflow-x: auto; }
@media (prefers-color-scheme: dark) { body { color: #dde6ef; background: #12181f; } .about { color: #a5b4c4; }
  th, td { border-color: #33414f; } .verdict { background: #2c2412; } .off { color: #ff8a80; } }
)";

std::string number(double value) {
  return std::abs(value) >= 1e5 || (value != 0 && std::abs(value) < 1e-4) ? fmt::format("{:.3e}", value)
                                                                          : fmt::format("{:.5g}", value);
}

/// "+0.02 %", "-1.3e-05 MPa", or how far inside a bound.
std::string error_text(const json& c) {
  const double error = c.at("error").get<double>();
  if (c.at("bound") == "relative") return fmt::format("{:+.2g} %", 100 * error);
  return fmt::format("{:+.2g} {}", error, c.at("unit").get<std::string>());
}

std::string allowed_text(const json& c) {
  const std::string bound = c.at("bound");
  if (bound == "relative") return fmt::format("{:.2g} %", 100 * c.at("tolerance").get<double>());
  if (bound == "absolute")
    return fmt::format("{:.2g} {}", c.at("tolerance").get<double>(), c.at("unit").get<std::string>());
  return bound + " the target";
}

std::string comparison_row(const json& c) {
  const bool holds = c.at("holds").get<bool>();
  return fmt::format(
      "<tr><td>{} [{}]</td><td class=number>{}</td><td class=number>{}</td><td class=number>{}</td>"
      "<td class=number>{}</td><td{}>{}</td></tr>\n",
      markup_safe(c.at("what")), markup_safe(c.at("unit")), number(c.at("target")), number(c.at("computed")),
      markup_safe(error_text(c)), markup_safe(allowed_text(c)), holds ? "" : " class=off",
      holds ? "holds" : "FAILS");
}

ChartAxis axis(const json& curve, const char* label, const char* logarithmic) {
  const std::string text = curve.at(label);
  return {.label = curve.at(logarithmic).get<bool>() ? "log10 of " + text : text};
}

std::string plot(const std::string& title, const json& curve) {
  Chart chart{.title = title,
              .notes = {},
              .x = axis(curve, "x_label", "logarithmic_x"),
              .y = axis(curve, "y_label", "logarithmic_y")};
  const auto place = [&](const json& value, const char* logarithmic) {
    const double v = value.get<double>();
    return curve.at(logarithmic).get<bool>() ? std::log10(v) : v;
  };
  for (const json& series : curve.at("series")) {
    ChartSeries line{
        .name = series.at("label"),
        .colour = static_cast<int>(chart.series.size()),
        .shape = series.at("points").get<bool>() ? ChartSeries::Shape::dots : ChartSeries::Shape::line,
        .points = {}};
    for (std::size_t i = 0; i < series.at("x").size(); ++i)
      line.points.push_back(
          {place(series.at("x")[i], "logarithmic_x"), place(series.at("y")[i], "logarithmic_y")});
    chart.series.push_back(std::move(line));
  }
  return chart_svg(chart);
}

std::string about(const char* what, const json& check, const char* key) {
  const std::string text = check.at(key);
  return text.empty() ? "" : fmt::format("<p class=about>{}: {}</p>\n", what, markup_safe(text));
}

std::string check_html(const json& check) {
  const std::string title = check.at("title");
  std::string html = fmt::format("<h3>{}</h3>\n", markup_safe(title));
  html += about("Source", check, "source") + about("Formula or finding", check, "formula") +
          about("Mesh", check, "mesh") + about("Tolerance", check, "tolerance_because");
  html +=
      "<div class=scroll><table><tr><th>compared<th class=number>target<th class=number>computed"
      "<th class=number>error<th class=number>allowed<th></tr>\n";
  for (const json& c : check.at("comparisons")) html += comparison_row(c);
  html += "</table></div>\n";
  const std::string verdict = check.at("verdict");
  if (!verdict.empty()) html += fmt::format("<p class=verdict>{}</p>\n", markup_safe(verdict));
  html += "<div class=plots>";
  for (const json& curve : check.at("curves")) html += plot(title, curve);
  return html + "</div>\n";
}

/// The comparison that uses up most of its tolerance; bounds come last.
const json& tightest(const json& check) {
  const json* found = &check.at("comparisons").at(0);
  double used = -1;
  for (const json& c : check.at("comparisons")) {
    const double tolerance = c.at("tolerance").get<double>();
    const double share = tolerance > 0 ? std::abs(c.at("error").get<double>()) / tolerance : 0.0;
    if (share <= used) continue;
    used = share;
    found = &c;
  }
  return *found;
}

}  // namespace

std::string report_html(const std::vector<Chapter>& chapters, const std::vector<std::string>& left_out) {
  int comparisons = 0, failed = 0;
  std::string contents, body;
  for (const Chapter& chapter : chapters) {
    comparisons += chapter.comparisons();
    failed += chapter.failed();
    contents += fmt::format("<tr><td>{}<td class=number>{}<td class=number>{}<td class=number>{}</tr>\n",
                            markup_safe(chapter.name), chapter.checks.size(), chapter.comparisons(),
                            chapter.failed());
    body += fmt::format("<h2>{}</h2>\n", markup_safe(chapter.name));
    for (const json& check : chapter.checks) body += check_html(check);
  }
  std::string missing;
  for (const std::string& name : left_out) missing += "<li>" + markup_safe(name) + "</li>";
  if (!missing.empty()) missing = "<p class=off>Not run this time:</p><ul>" + missing + "</ul>\n";
  return fmt::format(
      "<!doctype html>\n<html lang=en><meta charset=utf-8><meta name=viewport content=\"width=device-width\">"
      "<title>setstress: checks</title>\n<style>{}{}</style>\n<body>\n<h1>setstress: what it reproduces, and "
      "what it "
      "does not</h1>\n<p class=caution>{}</p>\n<p>{} numbers compared, {} outside their tolerance.</p>\n{}"
      "<table><tr><th>chapter<th class=number>checks<th class=number>numbers<th "
      "class=number>outside</tr>\n{}</table>\n"
      "{}</body></html>\n",
      style, chart_style(), caution_line, comparisons, failed, missing, contents, body);
}

std::string short_table(const std::vector<Chapter>& chapters) {
  std::string table = "| check | target | computed | error | allowed |\n|---|---|---|---|---|\n";
  for (const Chapter& chapter : chapters)
    for (const json& check : chapter.checks) {
      const json& c = tightest(check);
      table += fmt::format("| {}: {} [{}] | {} | {} | {} | {} |\n", check.at("title").get<std::string>(),
                           c.at("what").get<std::string>(), c.at("unit").get<std::string>(),
                           number(c.at("target")), number(c.at("computed")), error_text(c), allowed_text(c));
    }
  return table;
}

}  // namespace setstress::testing
