#include "cases/why/why_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double clear_part = 0.05;     // of a ratio, or of a wall's area: as where results are compared
constexpr double nothing_part = 0.005;  // is not told
constexpr const char* placing_words = "how it is placed";
constexpr const char* placing_tag = "placing";
constexpr const char* nothing_to_tell =
    "No wall differs by enough, nor do parts cancel that would: there is nothing to take apart.";
constexpr const char* definition =
    "D(S): second plan minus first when the causes in S act as in the cases and the others are taken away "
    "from "
    "both; where the two have something otherwise that is taken away, the mean of both having the first "
    "one's "
    "and both having the second one's. Placing (layers, order, waits, exposures): D(none). Each cause: its "
    "Shapley value, what switching it on adds, averaged over all orders. The parts add up to D(all).";

std::string signed_text(double value, bool is_share) {
  return is_share ? fmt::format("{:+.0f} %", 100 * value) : fmt::format("{:+.2f}", value);
}
std::string plain_text(double value, bool is_share) {
  return is_share ? fmt::format("{:.0f} %", 100 * value) : fmt::format("{:.2f}", value);
}

/// A cause, or placing, and its part of the difference.
struct Named {
  std::string words;
  double part;
};

/// The largest first.
std::vector<Named> named_parts(const Why& why, const WhyPart& part) {
  std::vector<Named> all{{placing_words, part.of_placing}};
  for (std::size_t c = 0; c < why.causes.size(); ++c) all.push_back({why.causes[c].words, part.of_causes[c]});
  std::ranges::stable_sort(all, std::ranges::greater{}, [](const Named& n) { return std::abs(n.part); });
  std::erase_if(all, [](const Named& n) { return std::abs(n.part) < nothing_part; });
  return all;
}

bool is_clear(const WhyPart& part) {
  const auto large = [](double value) { return std::abs(value) >= clear_part; };
  return large(part.second - part.first) || large(part.of_placing) ||
         std::ranges::any_of(part.of_causes, large);
}

/// "Of +0.58 on the floor (0.96 in "a", 1.54 in "b"), +1.05 is light lost with depth; how it is placed takes
/// 0.47 off."
std::string parts_sentence(const Why& why, const WhyPart& part, bool is_share) {
  const double total = part.second - part.first;
  std::vector<std::string> along, against;
  for (const Named& n : named_parts(why, part)) {
    if ((n.part > 0) == (total > 0))
      along.push_back(fmt::format("{} is {}", signed_text(n.part, is_share), n.words));
    else
      against.push_back(fmt::format("{} {} {}{}", n.words, total > 0 ? "takes" : "adds",
                                    plain_text(std::abs(n.part), is_share), total > 0 ? " off" : ""));
  }
  std::string text = fmt::format(
      "Of {} on the {} ({} in \"{}\", {} in \"{}\"), ", signed_text(total, is_share), part.wall_words,
      plain_text(part.first, is_share), why.first, plain_text(part.second, is_share), why.second);
  text += along.empty() ? "nothing goes that way" : fmt::format("{}", fmt::join(along, ", "));
  if (!against.empty()) text += fmt::format("; {}", fmt::join(against, "; "));
  return text + ".";
}

/// Of the cause with the largest part: what the wall would read without it.
std::string without_sentence(const Why& why, const WhyPart& part, bool is_share) {
  std::optional<std::size_t> largest;
  for (std::size_t c = 0; c < why.causes.size(); ++c)
    if (part.without[c] && std::abs(part.of_causes[c]) >= clear_part &&
        (!largest || std::abs(part.of_causes[c]) > std::abs(part.of_causes[*largest])))
      largest = c;
  if (!largest) return "";
  return fmt::format(" Without {} the {} would read {} in \"{}\" and {} in \"{}\".",
                     why.causes[*largest].words, part.wall_words,
                     plain_text(part.without[*largest]->first, is_share), why.first,
                     plain_text(part.without[*largest]->second, is_share), why.second);
}

/// The first measure that the mesh can give.
std::size_t told_measure(const Why& why) {
  const std::vector<WhyMeasure> measures = why_measures(why.mode);
  const auto told =
      std::ranges::find_if(measures, [&](const WhyMeasure& m) { return !(why.coarse && m.needs_fine); });
  return static_cast<std::size_t>(told - measures.begin());
}

std::string opening_sentence(const Why& why) {
  std::vector<std::string> words;
  for (const Cause& cause : why.causes) words.push_back(cause.words);
  return words.empty()
             ? std::string(
                   "Why: the two have every known cause alike and none acts; all of the difference is "
                   "how they are placed.")
             : fmt::format(
                   "Why, \"{}\" minus \"{}\", {}: the difference is shared out among {} and how they "
                   "are placed (layers, order, waits, exposures).",
                   why.second, why.first, why_measures(why.mode)[told_measure(why)].words,
                   fmt::join(words, ", "));
}

std::vector<WhyPart> of_measure(const Why& why, std::size_t measure) {
  std::vector<WhyPart> parts;
  std::ranges::copy_if(why.parts, std::back_inserter(parts),
                       [&](const WhyPart& part) { return part.measure == measure; });
  return parts;
}

ordered_json part_json(const Why& why, const WhyPart& part) {
  ordered_json causes = ordered_json::object(), without = ordered_json::object();
  for (std::size_t c = 0; c < why.causes.size(); ++c) {
    causes[why.causes[c].key] = part.of_causes[c];
    if (part.without[c])
      without[why.causes[c].key] = {{"first", part.without[c]->first}, {"second", part.without[c]->second}};
  }
  return {{"wall", part.wall},
          {"first", part.first},
          {"second", part.second},
          {"difference", part.second - part.first},
          {"placing", part.of_placing},
          {"causes", causes},
          {"with_this_alone_taken_away", without},
          {"differences_by_set", part.differences}};
}

constexpr int wall_width = 22, number_width = 9, cause_width = 17;

std::string heading(const Why& why) {
  std::string text = fmt::format("{:<{}}{:>{}}{:>{}}{:>{}}", "", wall_width, "first", number_width, "second",
                                 number_width, "apart", number_width);
  for (const Cause& cause : why.causes) text += fmt::format("{:>{}}", cause.tag, cause_width);
  return text + fmt::format("{:>{}}\n", placing_tag, cause_width);
}

std::string row(const Why& why, const WhyPart& part, const WhyMeasure& measure) {
  const std::string mark = why.coarse && measure.needs_fine ? "~" : "";
  std::string text =
      fmt::format("  {:<{}}{:>{}}{:>{}}{:>{}}", part.wall == "all" ? "whole bond" : part.wall, wall_width - 2,
                  mark + plain_text(part.first, measure.is_share), number_width,
                  mark + plain_text(part.second, measure.is_share), number_width,
                  mark + signed_text(part.second - part.first, measure.is_share), number_width);
  for (const double each : part.of_causes)
    text += fmt::format("{:>{}}", mark + signed_text(each, measure.is_share), cause_width);
  return text + fmt::format("{:>{}}\n", mark + signed_text(part.of_placing, measure.is_share), cause_width);
}

}  // namespace

std::vector<std::string> why_sentences(const Why& why) {
  std::vector<std::string> sentences{opening_sentence(why)};
  const std::size_t told = told_measure(why);
  const bool is_share = why_measures(why.mode)[told].is_share;
  bool any = false;
  for (const WhyPart& part : of_measure(why, told)) {
    if (!is_clear(part)) continue;
    any = true;
    sentences.push_back(parts_sentence(why, part, is_share) + without_sentence(why, part, is_share));
  }
  if (!any) sentences.emplace_back(nothing_to_tell);
  return sentences;
}

ordered_json why_json(const Why& why) {
  ordered_json causes = ordered_json::array(), measures = ordered_json::array();
  for (const Cause& cause : why.causes)
    causes.push_back({{"key", cause.key},
                      {"words", cause.words},
                      {"taken_away_by", cause.is_effect ? "switching it off in both" : "making it equal"}});
  const std::vector<WhyMeasure> known = why_measures(why.mode);
  for (std::size_t m = 0; m < known.size(); ++m) {
    ordered_json walls = ordered_json::array();
    for (const WhyPart& part : of_measure(why, m)) walls.push_back(part_json(why, part));
    measures.push_back({{"measure", known[m].key},
                        {"words", known[m].words},
                        {"too_coarse", why.coarse && known[m].needs_fine},
                        {"walls", walls}});
  }
  return {{"first", why.first},
          {"second", why.second},
          {"mode", why.mode},
          {"definition", definition},
          {"sets", "differences_by_set: bit i of the position is set where cause i acts"},
          {"causes", causes},
          {"solutions", why.solutions},
          {"cases", why.cases},
          {"sentences", why_sentences(why)},
          {"measures", measures},
          {"caution", caution_line}};
}

std::string why_text(const Why& why) {
  std::string text = fmt::format(
      "Why: second minus first, taken apart ({} more solution{}, with those compared, served {} different "
      "runs)\n{}",
      why.solutions, why.solutions == 1 ? "" : "s", why.cases, heading(why));
  const std::vector<WhyMeasure> measures = why_measures(why.mode);
  for (std::size_t m = 0; m < measures.size(); ++m) {
    const std::vector<WhyPart> parts = of_measure(why, m);
    if (parts.empty()) continue;
    text += measures[m].words + "\n";
    for (const WhyPart& part : parts) text += row(why, part, measures[m]);
  }
  if (why.coarse) text += "~: a mesh too coarse for percentiles and areas; the mean is what it can give\n";
  return text;
}

std::vector<std::string> why_in_brief(const Why& why) {
  const std::size_t told = told_measure(why);
  const bool is_share = why_measures(why.mode)[told].is_share;
  const auto size = [](const WhyPart& part) {
    double largest = std::abs(part.second - part.first);
    for (const double each : part.of_causes) largest = std::max(largest, std::abs(each));
    return std::max(largest, std::abs(part.of_placing));
  };
  std::vector<WhyPart> parts = of_measure(why, told);
  std::erase_if(parts, [](const WhyPart& part) { return part.wall == "all" || !is_clear(part); });
  if (parts.empty()) return {nothing_to_tell};
  const WhyPart& part = *std::ranges::max_element(parts, {}, size);
  std::string measure = why_measures(why.mode)[told].words;
  measure.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(measure.front())));
  return {measure + ":", parts_sentence(why, part, is_share) + without_sentence(why, part, is_share)};
}

std::vector<Chart> why_charts(const Why& why) {
  const std::size_t told = told_measure(why);
  const WhyMeasure measure = why_measures(why.mode)[told];
  Chart chart{
      fmt::format("Why: {} minus {}", why.second, why.first),
      {"A wall's own bar is its whole difference; the bars below it are the parts and add up to it. "
       "Placing: layers, order, waits, exposures; what is "
       "left when every other cause is taken away from both."},
      {measure.words + (measure.is_share ? ", part of the difference [-]" : ", part of the difference")},
      {"", {}}};
  double at = 0;
  const auto bar = [&](const std::string& name, double value, int colour) {
    chart.bars.push_back(
        {at++, 0, value, colour, fmt::format("{}: {}", name, signed_text(value, measure.is_share))});
    chart.y.words.push_back(name);
  };
  constexpr int colours = 6;
  for (const WhyPart& part : of_measure(why, told)) {
    if (!chart.bars.empty()) ++at, chart.y.words.emplace_back();  // walls stand apart
    bar(part.wall == "all" ? "whole bond" : part.wall, part.second - part.first, 0);
    for (std::size_t c = 0; c < why.causes.size(); ++c)
      bar(why.causes[c].tag, part.of_causes[c], 1 + static_cast<int>(c) % (colours - 2));
    bar(placing_tag, part.of_placing, colours - 1);
  }
  if (chart.bars.empty()) return {};
  chart.rules.push_back({0, true, ""});
  return {chart};
}

}  // namespace setstress
