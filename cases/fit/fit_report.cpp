#include "cases/fit/fit_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::string error_text(const FoundConstant& found) {
  return std::isfinite(found.standard_error) ? fmt::format("{:.2g}", found.standard_error) : "open";
}

/// "to 12 values of cure.csv (conversion), ..."
std::string fitted_to(const Measurements& measurements) {
  std::vector<std::string> parts;
  for (const MeasuredCurve& curve : measurements.curves)
    parts.push_back(fmt::format("{} values of {} ({})", curve.data.size(), curve.name, name_of(curve.kind)));
  return fmt::format("{}", fmt::join(parts, ", "));
}

ordered_json or_null(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

/// Text between the quotes of TOML.
std::string quotable(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (c == '"' || c == '\\') safe += '\\';
    safe += c == '\n' ? ' ' : c;
  }
  return safe;
}

std::string known_before(const SoughtConstant& sought) {
  return fmt::format("{:.4g} within {:.2g} {}", sought.start, sought.error, sought.unit);
}

std::string source_of(const FoundConstant& found) {
  std::string source = fmt::format("fitted; standard error {}", error_text(found));
  if (found.sought.error > 0) source += "; taken as known before: " + known_before(found.sought);
  return source + (found.warning.empty() ? "" : "; these data do not fix it");
}

/// Values of a class by the table they stand in, "" for the class itself: what was given, what was found.
std::vector<std::pair<std::string, std::string>> by_group(const Measurements& measurements, const Fit& fit) {
  std::vector<std::pair<std::string, std::string>> groups{
      {"", ""}, {"light", ""}, {"cure", ""}, {"stiffness", ""}, {"flow", ""}};
  const auto add = [&](const std::string& dotted, double value, const std::string& unit,
                       const std::string& basis, const std::string& source) {
    const auto dot = dotted.find('.');
    const std::string group = dot == std::string::npos ? "" : dotted.substr(0, dot),
                      key = dot == std::string::npos ? dotted : dotted.substr(dot + 1);
    for (auto& [name, text] : groups)
      if (name == group)
        text += fmt::format("{} = {{value = {:.9g}, unit = \"{}\", basis = \"{}\"{}}}\n", key, value, unit,
                            basis, source.empty() ? "" : fmt::format(", source = \"{}\"", quotable(source)));
  };
  for (const auto& [key, given] : measurements.given.items())
    add(key, given.at("value").get<double>(), given.at("unit").get<std::string>(),
        given.at("basis").get<std::string>(), given.value("source", ""));
  for (const FoundConstant& found : fit.constants)
    add(found.sought.key, found.value, found.sought.unit, "derived", source_of(found));
  return groups;
}

/// What each curve and each constant known before rests on, a line each.
std::vector<std::string> grounds(const Measurements& measurements) {
  std::vector<std::string> lines;
  for (const MeasuredCurve& curve : measurements.curves)
    if (!curve.source.empty())
      lines.push_back(fmt::format("{}{}: {}", curve.name,
                                  curve.basis.empty() ? "" : fmt::format(" ({})", curve.basis),
                                  curve.source));
  for (const SoughtConstant& sought : measurements.constants)
    if (sought.error > 0) lines.push_back(fmt::format("{}: taken as {}", sought.key, known_before(sought)));
  return lines;
}

const char* axis_words(const MeasuredCurve& curve) {
  return curve.kind == CurveKind::transmission ? "thickness [mm]" : "time since the light went on [s]";
}

/// "; 4.2 for 5 +- 0.5, ...": where there are so few that each can be told.
std::string few_values(const MeasuredCurve& curve, const FittedCurve& fitted) {
  if (curve.data.size() > 3 || !(curve.data.front().error > 0)) return "";
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < curve.data.size(); ++i)
    parts.push_back(fmt::format("{:.3g} for {:.3g} +- {:.2g}", fitted.values[i], curve.data[i].value,
                                curve.data[i].error));
  return fmt::format("; {}", fmt::join(parts, ", "));
}

constexpr const char* huber_words =
    "Huber's loss: data further off than 1.345 times the scatter of their curve pull less.";

}  // namespace

std::vector<std::string> fit_warnings(const Measurements& measurements, const Fit& fit) {
  std::vector<std::string> warnings;
  if (measurements.invented) warnings.emplace_back("The measurements are invented for demonstration.");
  for (const FoundConstant& found : fit.constants)
    if (!found.warning.empty()) warnings.push_back(found.warning);
  return warnings;
}

std::string material_file(const Measurements& measurements, const Fit& fit) {
  std::string text =
      fmt::format("# {}\n# Fitted to {}.\n# {}\n", measurements.title, fitted_to(measurements), caution_line);
  for (const std::string& line : grounds(measurements)) text += fmt::format("# {}\n", line);
  for (const std::string& warning : fit_warnings(measurements, fit)) text += fmt::format("# {}\n", warning);
  for (Eigen::Index a = 0; a < fit.correlation.rows(); ++a)
    for (Eigen::Index b = 0; b < a; ++b)
      if (std::isfinite(fit.correlation(a, b)))
        text += fmt::format("# correlation {:+.3f}: {}, {}\n", fit.correlation(a, b),
                            fit.constants[static_cast<std::size_t>(b)].sought.key,
                            fit.constants[static_cast<std::size_t>(a)].sought.key);
  for (const auto& [group, values] : by_group(measurements, fit)) {
    if (group.empty())
      text += fmt::format(
          "\n[composite.{}]\nfrom = \"{}\"\n{}{}", measurements.name, measurements.base,
          measurements.about.empty() ? "" : fmt::format("about = \"{}\"\n", quotable(measurements.about)),
          values);
    else if (!values.empty())
      text += fmt::format("\n[composite.{}.{}]\n{}", measurements.name, group, values);
  }
  return text;
}

ordered_json fit_json(const Measurements& measurements, const Fit& fit) {
  ordered_json constants = ordered_json::array(), curves = ordered_json::array(),
               rows = ordered_json::array();
  for (std::size_t c = 0; c < fit.constants.size(); ++c) {
    const FoundConstant& found = fit.constants[c];
    constants.push_back({{"key", found.sought.key},
                         {"unit", found.sought.unit},
                         {"value", found.value},
                         {"standard_error", or_null(found.standard_error)},
                         {"half_width_95", or_null(found.half_width)},
                         {"low", found.sought.low},
                         {"high", found.sought.high},
                         {"warning", found.warning}});
    ordered_json row = ordered_json::array();
    for (std::size_t b = 0; b < fit.constants.size(); ++b)
      row.push_back(or_null(fit.correlation(static_cast<Eigen::Index>(c), static_cast<Eigen::Index>(b))));
    rows.push_back(row);
  }
  for (std::size_t k = 0; k < fit.curves.size(); ++k)
    curves.push_back({{"file", measurements.curves[k].name},
                      {"kind", name_of(measurements.curves[k].kind)},
                      {"unit", unit_of(measurements.curves[k].kind)},
                      {"basis", measurements.curves[k].basis},
                      {"source", measurements.curves[k].source},
                      {"values", measurements.curves[k].data.size()},
                      {"scatter", fit.curves[k].scatter}});
  return {{"name", measurements.name},
          {"title", measurements.title},
          {"invented", measurements.invented},
          {"from", measurements.base},
          {"loss", measurements.loss == Loss::huber ? "huber" : "squares"},
          {"constants", constants},
          {"correlation", rows},
          {"curves", curves},
          {"warnings", fit_warnings(measurements, fit)},
          {"caution", caution_line}};
}

std::string fit_text(const Measurements& measurements, const Fit& fit) {
  std::string text = fmt::format("{}\nFrom class {}, fitted to {}.\n\n  {:<28}{:>12}{:>12}{:>12}  unit\n",
                                 measurements.title, measurements.base, fitted_to(measurements), "constant",
                                 "value", "std. error", "95 % +-");
  for (const FoundConstant& found : fit.constants)
    text +=
        fmt::format("  {:<28}{:>12.5g}{:>12}{:>12}  {}\n", found.sought.key, found.value, error_text(found),
                    std::isfinite(found.half_width) ? fmt::format("{:.2g}", found.half_width) : "open",
                    found.sought.unit);
  text += "\n";
  for (std::size_t k = 0; k < fit.curves.size(); ++k)
    text += fmt::format("  {}: scatter about the law {:.3g} {}{}\n", measurements.curves[k].name,
                        fit.curves[k].scatter, unit_of(measurements.curves[k].kind),
                        few_values(measurements.curves[k], fit.curves[k]));
  if (measurements.loss == Loss::huber) text += fmt::format("  {}\n", huber_words);
  for (const std::string& line : grounds(measurements)) text += fmt::format("  {}\n", line);
  for (const std::string& warning : fit_warnings(measurements, fit))
    text += fmt::format("\nWarning: {}\n", warning);
  return text;
}

Chart curve_chart(const Measurements& measurements, const Fit& fit, std::size_t k) {
  const MeasuredCurve& curve = measurements.curves[k];
  ChartSeries measured{"measured", 0, ChartSeries::Shape::dots, {}},
      law{"law", 1, ChartSeries::Shape::dots, {}};
  for (std::size_t i = 0; i < curve.data.size(); ++i) {
    measured.points.push_back({curve.data[i].at, curve.data[i].value});
    law.points.push_back({curve.data[i].at, fit.curves[k].values[i]});
  }
  Chart chart{curve.name,
              {},
              {axis_words(curve)},
              {fmt::format("{} [{}]", name_of(curve.kind), unit_of(curve.kind))}};
  if (measurements.invented) chart.notes.emplace_back("Invented for demonstration.");
  chart.series = {measured, law};
  return chart;
}

Chart residual_chart(const Measurements& measurements, const Fit& fit, std::size_t k) {
  const MeasuredCurve& curve = measurements.curves[k];
  ChartSeries left{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t i = 0; i < curve.data.size(); ++i)
    left.points.push_back({curve.data[i].at, curve.data[i].value - fit.curves[k].values[i]});
  Chart chart{curve.name + ": measured minus law",
              {},
              {axis_words(curve)},
              {fmt::format("{} left [{}]", name_of(curve.kind), unit_of(curve.kind))}};
  if (measurements.invented) chart.notes.emplace_back("Invented for demonstration.");
  chart.series = {left};
  chart.rules.push_back({0, false, ""});
  return chart;
}

std::string fit_page(const Measurements& measurements, const Fit& fit) {
  std::string page = fmt::format(
      "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
      "content=\"width=device-width\"><title>{0}</title><style>body{{font:16px/1.5 "
      "sans-serif;max-width:60rem;margin:2rem "
      "auto;padding:0 1rem;color-scheme:light "
      "dark}}pre{{white-space:pre-wrap}}svg{{max-width:26rem;width:100%}}section{{display:grid;grid-template-"
      "columns:repeat(auto-fit,minmax(20rem,1fr))}}h2{{grid-column:1/-1}}{1}"
      "</style></head><body><main><h1>{0}</h1>\n<pre>{2}</pre>\n",
      markup_safe(measurements.title), chart_style(), markup_safe(fit_text(measurements, fit)));
  for (std::size_t k = 0; k < fit.curves.size(); ++k)
    page += fmt::format("<section><h2>{}</h2>{}{}</section>\n", markup_safe(measurements.curves[k].name),
                        chart_svg(curve_chart(measurements, fit, k)),
                        chart_svg(residual_chart(measurements, fit, k)));
  return page + fmt::format("<p>{}</p></main></body></html>\n", markup_safe(caution_line));
}

}  // namespace setstress
