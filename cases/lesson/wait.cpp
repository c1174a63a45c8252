#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "cases/check/case_check.hpp"
#include "cases/lesson/chapter.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/lesson/wording.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "cases/wait/wait_runs.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr std::array<double, 5> waits{0, 60, 180, 300, 600};  // [s]

/// One law and the highest stress-to-strength ratio on the floor (95 % of it stays below) after each wait.
struct LawCurve {
  std::string law;
  std::vector<double> ratios;
  [[nodiscard]] double change() const { return ratios.back() / ratios.front() - 1; }
};

/// What the numbers rest on: kept ones are used again only for the same.
ordered_json basis_of(const Case& input) {
  return {{"version", SETSTRESS_VERSION},
          {"inputs", input.source.resolved()},
          {"materials", input.materials.provenance},
          {"size_at_bond_mm", input.mesh_size.bond},
          {"waits_s", waits}};
}

std::vector<LawCurve> solve_curves(const Case& input, bool quiet) {
  const std::vector<std::string> names{"chairside-rule", "ten-minute-pair", "mature-at-once"};
  ProgressLine progress("waits", quiet);
  const InterruptGuard interrupt;
  std::size_t run = 0;
  WaitRuns runs(input, {.quantity = WallQuantity::stress_to_strength, .limit = 1}, 1,
                maturity_choices(input, names), [&](double share, double wait) {
                  progress.show((static_cast<double>(run) + share) / waits.size(),
                                "wait of " + duration_text(wait));
                  return !interrupt.asked_to_stop();
                });
  std::vector<LawCurve> curves;
  for (const MaturityChoice& law : runs.laws()) curves.push_back({law.name, {}});
  try {
    for (; run < waits.size(); ++run)
      for (std::size_t law = 0; law < curves.size(); ++law) {
        const auto value = runs.value(waits[run], law);
        if (!value)
          throw std::runtime_error(
              fmt::format("the deep box of the lesson could not be solved with a wait of {}: {}",
                          duration_text(waits[run]), runs.failures().back()));
        curves[law].ratios.push_back(*value);
      }
  } catch (const WaitStopped&) {
    throw LessonStopped("stopped as asked");
  }
  return curves;
}

/// As kept in `file` from before; solved and kept otherwise.
std::vector<LawCurve> curves_of(const Case& input, const std::filesystem::path& file, bool quiet) {
  std::ifstream stream(file);
  const ordered_json kept = ordered_json::parse(stream, nullptr, false);
  std::vector<LawCurve> curves;
  if (kept.is_object() && kept.value("basis", ordered_json()) == basis_of(input)) {
    for (const ordered_json& curve : kept.at("curves"))
      curves.push_back({curve.at("law").get<std::string>(), curve.at("ratios").get<std::vector<double>>()});
    return curves;
  }
  curves = solve_curves(input, quiet);
  ordered_json json{{"basis", basis_of(input)}, {"curves", ordered_json::array()}};
  for (const LawCurve& curve : curves)
    json["curves"].push_back({{"law", curve.law}, {"ratios", curve.ratios}});
  write_file(file, json.dump(2) + "\n");
  return curves;
}

std::string law_sentence(const LawCurve& curve) {
  const std::string numbers = fmt::format("{:.2f} without waiting, {:.2f} after {}", curve.ratios.front(),
                                          curve.ratios.back(), duration_text(waits.back()));
  switch (change(curve.ratios.front(), curve.ratios.back())) {
    case Change::less:
      return fmt::format("by \"{}\" it takes {} off the stress-to-strength ratio of the floor ({})",
                         curve.law, in_percent(-curve.change()), numbers);
    case Change::more:
      return fmt::format("by \"{}\" it adds {} to that of the floor ({})", curve.law,
                         in_percent(curve.change()), numbers);
    case Change::same:
      return fmt::format("by \"{}\" it changes next to nothing ({})", curve.law, numbers);
  }
  throw std::logic_error("a change that is none");
}

std::string disagreement_sentence(const std::vector<LawCurve>& curves) {
  const auto [least, most] = std::ranges::minmax(curves, {}, &LawCurve::change);
  if (std::abs(most.change() - least.change()) < 0.05)
    return "Here the laws agree on what the wait buys, to 5 points.";
  return fmt::format(
      "What ten minutes buy is {} by one law and {} by another: practice and published measurements do not "
      "agree on how fast a bond gains strength, and so neither do the curves.",
      in_percent(std::max(0.0, -least.change())), in_percent(std::max(0.0, -most.change())));
}

Chart wait_chart(const std::vector<LawCurve>& curves) {
  Chart chart{.title = "The same plan after a wait",
              .notes = {"Floor of the deep box, the highest of the whole run; 95 % of the floor stays below.",
                        "Dashed: bond strength reached."},
              .x = {.label = "wait before placing [min]", .low = 0},
              .y = {.label = "stress-to-strength ratio [-]", .low = 0},
              .rules = {{1, false, ""}}};
  int colour = 0;
  for (const LawCurve& curve : curves) {
    ChartSeries series{
        .name = curve.law, .colour = colour++, .shape = ChartSeries::Shape::line_and_dots, .points = {}};
    for (std::size_t w = 0; w < waits.size(); ++w)
      series.points.push_back({waits[w] / 60, curve.ratios[w], fmt::format("{:.2f}", curve.ratios[w])});
    chart.series.push_back(series);
  }
  return chart;
}

}  // namespace

LessonChapter what_the_wait_buys(LessonRuns& runs) {
  const Case input = runs.input("deep-box");
  const std::vector<LawCurve> curves = curves_of(input, runs.folder() / "runs" / "waits.json", runs.quiet());
  std::vector<std::string> words;
  for (const LawCurve& curve : curves) words.push_back(law_sentence(curve));
  std::string laws;
  for (std::size_t l = 0; l < curves.size(); ++l) laws += (l == 0 ? "" : "; ") + words[l];
  laws.front() = static_cast<char>(std::toupper(laws.front()));
  return {
      .name = "wait",
      .title = "What does the wait buy?",
      .sentences = {"The same bulk filling is placed after waits from none to ten minutes, while the bond "
                    "gains strength by one of three laws: the rule of the chair (70 % of the strength after "
                    "a minute, 90 % "
                    "after five), a pair of measurements ten minutes and a day apart, or all of it at once.",
                    laws + ".", disagreement_sentence(curves)},
      .take_home = "What a wait buys depends on how fast the bond gains strength, and that is not agreed on.",
      .not_said = "No waiting time for a patient follows from these curves.",
      .charts = {wait_chart(curves)},
      .pictures = {},
      .runs = {}};
}

}  // namespace setstress
