#include "cases/fit/fit_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

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

/// One value as a line of a material file.
std::string value_line(const std::string& key, double value, const std::string& unit,
                       const std::string& basis, const std::string& source) {
  return fmt::format("{} = {{value = {:.9g}, unit = \"{}\", basis = \"{}\"{}}}\n", key, value, unit, basis,
                     source.empty() ? "" : fmt::format(", source = \"{}\"", quotable(source)));
}

/// Values of a class by the table they stand in, "" for the class itself.
class Groups {
 public:
  explicit Groups(const std::vector<std::string>& names) {
    for (const std::string& name : names) texts_.emplace_back(name, "");
  }
  void add_line(const std::string& group, const std::string& line) {
    for (auto& [name, text] : texts_)
      if (name == group) text += line;
  }
  void add(const std::string& dotted, double value, const std::string& unit, const std::string& basis,
           const std::string& source) {
    const auto dot = dotted.find('.');
    add_line(
        dot == std::string::npos ? "" : dotted.substr(0, dot),
        value_line(dot == std::string::npos ? dotted : dotted.substr(dot + 1), value, unit, basis, source));
  }
  [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& texts() const { return texts_; }

 private:
  std::vector<std::pair<std::string, std::string>> texts_;
};

void add_found(const Fit& fit, Groups& groups) {
  for (const FoundConstant& found : fit.constants)
    groups.add(found.sought.key, found.value, found.sought.unit, "derived", source_of(found));
}

std::string composite_values(const Measurements& measurements, const Fit& fit) {
  Groups groups({"", "light", "cure", "stiffness", "flow"});
  for (const auto& [key, given] : measurements.given.items())
    groups.add(key, given.at("value").get<double>(), given.at("unit").get<std::string>(),
               given.at("basis").get<std::string>(), given.value("source", ""));
  add_found(fit, groups);
  std::string text;
  for (const auto& [group, values] : groups.texts())
    if (group.empty())
      text += values;
    else if (!values.empty())
      text += fmt::format("\n[composite.{}.{}]\n{}", measurements.name, group, values);
  return text;
}

/// Strength and maturity of the one substrate; the others stay as in the class that it starts from.
std::string bond_values(const Measurements& measurements, const Fit& fit) {
  const AgedBond& bond = *fit.material.bond;
  Groups groups({"strength", "strength_maturity"});
  groups.add_line("strength",
                  value_line("stick_area", bond.values().stick_area, "mm2", "given", "that of the strength"));
  groups.add_line("strength_maturity", fmt::format("law = \"{}\"\n", bond.law));
  const auto sought = [&](const char* key) {
    return std::ranges::count_if(fit.constants, [&](const FoundConstant& c) { return c.sought.key == key; });
  };
  const std::string unsought = "not found from the data: where the search began";
  if (bond.law != mature_law && sought("strength_maturity.at_once") == 0)
    groups.add("strength_maturity.at_once", bond.at_once, "-", "assumption", unsought);
  if (bond.law == ten_minute_law && sought("strength_maturity.ratio") == 0)
    groups.add("strength_maturity.ratio", bond.ratio, "-", "assumption", unsought);
  add_found(fit, groups);
  std::string text;
  for (const auto& [group, values] : groups.texts())
    text += fmt::format("\n[adhesive.{}.{}.{}]\n{}", measurements.name, group, substrate_key(bond.substrate),
                        values);
  return text;
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

/// Of a bond, each once, youngest first [s].
std::vector<double> ages_of(const MeasuredCurve& curve) {
  std::vector<double> ages;
  for (const Datum& datum : curve.data) ages.push_back(datum.at);
  std::ranges::sort(ages);
  ages.erase(std::unique(ages.begin(), ages.end()), ages.end());
  return ages;
}

const char* axis_words(const MeasuredCurve& curve) {
  if (curve.kind == CurveKind::bond_strength) return "age of the bond";
  return curve.kind == CurveKind::transmission ? "thickness [mm]" : "time since the light went on [s]";
}

/// What lies upwards, or along, without words of its own: times and thicknesses by their size, ages, which
/// run from seconds to days, side by side.
ChartAxis axis_along(const MeasuredCurve& curve) {
  ChartAxis axis{axis_words(curve)};
  if (curve.kind == CurveKind::bond_strength)
    for (const double age : ages_of(curve)) axis.words.push_back(duration_text(age));
  return axis;
}

std::string piece_words(const MeasuredCurve& curve, const Datum& datum) {
  return curve.kind == CurveKind::bond_strength ? fmt::format("{:g} mm2", datum.area) : "";
}

double place_along(const MeasuredCurve& curve, const Datum& datum) {
  if (curve.kind != CurveKind::bond_strength) return datum.at;
  const std::vector<double> ages = ages_of(curve);
  return static_cast<double>(std::ranges::find(ages, datum.at) - ages.begin());
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

/// ", bond to enamel, strengths of 1 mm2, maturity by ...": what else there is to know of a bond.
std::string bond_words(const Fit& fit) {
  if (!fit.material.bond) return "";
  const AgedBond& bond = *fit.material.bond;
  return fmt::format(", bond to {}, mature strength of {:g} mm2, maturity by the law \"{}\"",
                     name_of(bond.substrate), bond.values().stick_area, bond.law);
}

ordered_json constants_json(const Fit& fit) {
  ordered_json constants = ordered_json::array();
  for (const FoundConstant& found : fit.constants)
    constants.push_back({{"key", found.sought.key},
                         {"unit", found.sought.unit},
                         {"value", found.value},
                         {"standard_error", or_null(found.standard_error)},
                         {"half_width_95", or_null(found.half_width)},
                         {"low", found.sought.low},
                         {"high", found.sought.high},
                         {"warning", found.warning}});
  return constants;
}

/// A row a constant.
ordered_json correlation_json(const Fit& fit) {
  ordered_json rows = ordered_json::array();
  for (Eigen::Index c = 0; c < fit.correlation.rows(); ++c) {
    ordered_json row = ordered_json::array();
    for (Eigen::Index b = 0; b < fit.correlation.cols(); ++b) row.push_back(or_null(fit.correlation(c, b)));
    rows.push_back(row);
  }
  return rows;
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
  text += fmt::format(
      "\n[{}.{}]\nfrom = \"{}\"\n{}", fit.material.bond ? "adhesive" : "composite", measurements.name,
      measurements.base,
      measurements.about.empty() ? "" : fmt::format("about = \"{}\"\n", quotable(measurements.about)));
  return text + (fit.material.bond ? bond_values(measurements, fit) : composite_values(measurements, fit));
}

ordered_json fit_json(const Measurements& measurements, const Fit& fit) {
  ordered_json curves = ordered_json::array();
  for (std::size_t k = 0; k < fit.curves.size(); ++k)
    curves.push_back({{"file", measurements.curves[k].name},
                      {"kind", name_of(measurements.curves[k].kind)},
                      {"unit", unit_of(measurements.curves[k].kind)},
                      {"basis", measurements.curves[k].basis},
                      {"source", measurements.curves[k].source},
                      {"values", measurements.curves[k].data.size()},
                      {"scatter", fit.curves[k].scatter}});
  ordered_json json{{"name", measurements.name},
                    {"title", measurements.title},
                    {"invented", measurements.invented},
                    {"from", measurements.base},
                    {"loss", measurements.loss == Loss::huber ? "huber" : "squares"},
                    {"constants", constants_json(fit)},
                    {"correlation", correlation_json(fit)},
                    {"curves", curves},
                    {"warnings", fit_warnings(measurements, fit)},
                    {"caution", caution_line}};
  if (const auto& bond = fit.material.bond) {
    json["substrate"] = substrate_key(bond->substrate);
    json["law"] = bond->law;
    json["stick_area_mm2"] = bond->values().stick_area;
  }
  return json;
}

std::string fit_text(const Measurements& measurements, const Fit& fit) {
  std::string text = fmt::format("{}\nFrom class {}{}, fitted to {}.\n\n  {:<28}{:>12}{:>12}{:>12}  unit\n",
                                 measurements.title, measurements.base, bond_words(fit),
                                 fitted_to(measurements), "constant", "value", "std. error", "95 % +-");
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
    const double at = place_along(curve, curve.data[i]);
    measured.points.push_back({at, curve.data[i].value, piece_words(curve, curve.data[i])});
    law.points.push_back({at, fit.curves[k].values[i], piece_words(curve, curve.data[i])});
  }
  Chart chart{
      curve.name, {}, axis_along(curve), {fmt::format("{} [{}]", name_of(curve.kind), unit_of(curve.kind))}};
  if (measurements.invented) chart.notes.emplace_back("Invented for demonstration.");
  chart.series = {measured, law};
  return chart;
}

Chart residual_chart(const Measurements& measurements, const Fit& fit, std::size_t k) {
  const MeasuredCurve& curve = measurements.curves[k];
  ChartSeries left{"", 0, ChartSeries::Shape::dots, {}};
  for (std::size_t i = 0; i < curve.data.size(); ++i)
    left.points.push_back({place_along(curve, curve.data[i]), curve.data[i].value - fit.curves[k].values[i],
                           piece_words(curve, curve.data[i])});
  Chart chart{curve.name + ": measured minus law",
              {},
              axis_along(curve),
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
