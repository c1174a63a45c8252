#include "cases/words/story_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "cases/words/told.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// Gaps when the first bite begins.
const ordered_json& gaps_before(const ordered_json& summary, double bite_start) {
  const ordered_json& events = summary.at("gaps").at("at_events");
  return std::ranges::find_if(events, [&](const ordered_json& e) { return told(e, "time_s") >= bite_start; })
      ->at("gaps");
}

std::string lets_go(const ordered_json& before, const ordered_json& gaps) {
  return fmt::format(
      "It lets go: when the first bite begins, {} after the bond was cured, {:.1f} mm2 of the bond, {:.0f} % "
      "of it, has let go, in {}.",
      duration_text(told(before, "time_s")), told(before, "debonded_mm2"),
      100 * told(before.at("walls").back(), "share_of_whole_debonded"),
      gaps.size() == 1 ? "one gap" : fmt::format("{} gaps", gaps.size()));
}

/// The wall on which most of a gap lies, and how much of it does [mm2].
std::pair<std::string, double> main_wall(const ordered_json& gap) {
  std::map<std::string, double> walls;
  for (const ordered_json& share : gap.at("where"))
    walls[share.at("wall").get<std::string>()] += told(share, "area_mm2");
  return *std::ranges::max_element(walls, {}, &std::pair<const std::string, double>::second);
}

std::string enclosed(const ordered_json& gap) {
  const auto [wall, area] = main_wall(gap);
  const std::string text = fmt::format(
      "The largest, gap {}, has {:.2f} mm2, {:.2f} of it on the {}, and opens by {:.1f} um on average",
      gap.at("number").get<int>(), told(gap, "area_mm2"), area,
      wall.ends_with("floor") ? wall : wall + " wall", told(gap, "mean_um"));
  if (gap.at("open_to_margin").get<bool>()) return text + "; it is open to the margin.";
  const ordered_json& sound = gap.at("sound_bond_to_margin_mm");
  if (sound.is_null()) return text + "; it is enclosed, and no way along the bond leads to a margin.";
  if (told(gap, "sound_bond_to_margin_mm") > 0)
    return text + fmt::format("; it is enclosed, with {:.2f} mm of sound bond to the nearest margin.",
                              sound.get<double>());
  return text + "; it reaches the margin, but so narrowly on the way that it counts as enclosed.";
}

/// Of one gap under one bite; null where it held no fluid.
const ordered_json* course_of(const ordered_json& bite, int gap) {
  for (const ordered_json& course : bite.at("gaps"))
    if (course.at("gap").get<int>() == gap) return &course;
  return nullptr;
}

std::string filled(const ordered_json& summary, const ordered_json& gap, double bite_start) {
  if (!summary.contains("gap_fluid")) return "Not filled: the case leaves gaps empty.";
  const ordered_json& fluid = summary.at("gap_fluid");
  const ordered_json* course = course_of(fluid.at("bites").at(0), gap.at("number").get<int>());
  if (gap.at("open_to_margin").get<bool>())
    return "Not closed off: what fluid it holds comes and goes by the margin and keeps no pressure.";
  if (course == nullptr || told(*course, "from_s") > bite_start ||
      course->at("share_filled_before").is_null())
    return "When the bite begins, it holds no fluid that could be pressed.";
  const ordered_json& filling = course->at("fills_from_pulp_in_s");
  return fmt::format(
      "Filled: when the bite begins, fluid fills {:.0f} % of its {:.2f} nL{}; {}.",
      100 * told(*course, "share_filled_before"), told(*course, "room_before_nL"),
      told(fluid, "filled_share") > 0 ? ", as the case says" : ", which has come from the pulp",
      filling.is_null()
          ? std::string("none of its dentin lets fluid through")
          : fmt::format(
                "the pulp, at {:g} kPa, would fill it through {:.2f} mm2 of open dentin in {}, were it as "
                "wide all the time",
                told(fluid, "pulp_pressure_kPa"), told(*course, "open_dentin_mm2"),
                duration_text(filling.get<double>())));
}

/// What the fluid of a gap does under one bite.
std::string moved_fluid(const ordered_json& fluid, const ordered_json& course) {
  return fmt::format(
      "; the fluid of gap {} is between {:.3g} and {:.3g} kPa, {:.2f} nL of it go to the pulp, at up to "
      "{:.2f} um/s in open dentin, and {:.2f} nL come from there, at up to {:.2f} (published thresholds of "
      "pain {:g} and {:g}: no verdict on a person)",
      course.at("gap").get<int>(), told(course, "lowest_pressure_kPa"), told(course, "highest_pressure_kPa"),
      told(course, "to_pulp_nL"), told(course, "fastest_to_pulp_um_s"), told(course, "outward_nL"),
      told(course, "fastest_outward_um_s"), told(fluid, "pain_to_pulp_um_s"),
      told(fluid, "pain_outward_um_s"));
}

std::string pressed(const ordered_json& summary, const ordered_json& bite, int gap) {
  const auto volume = [&](const char* instant) {
    return told(bite.at(instant).at("walls").back(), "gap_volume_nL");
  };
  std::string text = fmt::format(
      "Pressed by bite {} of {:.0f} N: all gaps together hold {:.2f} nL before it, {:.2f} at "
      "full force and {:.2f} after it",
      bite.at("bite").get<int>(), told(bite, "force_N"), volume("before"), volume("full"), volume("after"));
  if (summary.contains("gap_fluid"))
    for (const ordered_json& flown : summary.at("gap_fluid").at("bites"))
      if (flown.at("bite") == bite.at("bite"))
        if (const ordered_json* course = course_of(flown, gap))
          text += moved_fluid(summary.at("gap_fluid"), *course);
  return text + ".";
}

std::string at_the_end(const ordered_json& summary, int gap, const ordered_json& full,
                       const ordered_json& before) {
  const ordered_json& record = summary.at("gaps").at("records").at(static_cast<std::size_t>(gap) - 1);
  std::string text;
  if (!record.at("merged_into").is_null())
    text = fmt::format("It has become part of gap {}", record.at("merged_into").get<int>());
  else if (!record.at("open_since_s").is_null())
    text = fmt::format("At the end it is open to the margin, since {} after the bond was cured",
                       duration_text(told(record, "open_since_s")));
  else
    text = "At the end it is enclosed";
  return text + fmt::format("; {:.2f} mm2 of bond let go under the bites.",
                            told(full, "debonded_mm2") - told(before, "debonded_mm2"));
}

}  // namespace

std::vector<std::string> story_sentences(const ordered_json& summary) {
  if (!summary.contains("gaps") || !summary.contains("bites")) return {};
  const ordered_json& bites = summary.at("bites").at("bites");
  if (bites.empty()) return {};
  const ordered_json &before = bites.front().at("before"), &after = bites.back().at("after");
  const double start = told(before, "time_s");
  const ordered_json& gaps = gaps_before(summary, start);
  if (gaps.empty())
    return {fmt::format(
        "When the first bite begins, {} after the bond was cured, nothing of it has let go: there is "
        "no gap to fill or to press; {:.2f} mm2 of it lets go under the bites.",
        duration_text(start), told(after, "debonded_mm2"))};
  const ordered_json& largest =
      *std::ranges::max_element(gaps, {}, [](const ordered_json& gap) { return told(gap, "area_mm2"); });
  const int number = largest.at("number").get<int>();
  std::vector<std::string> story{lets_go(before, gaps), enclosed(largest), filled(summary, largest, start)};
  for (const ordered_json& bite : bites) story.push_back(pressed(summary, bite, number));
  story.push_back(at_the_end(summary, number, after, before));
  return story;
}

std::string story_text(const ordered_json& summary) {
  const std::vector<std::string> story = story_sentences(summary);
  if (story.empty()) return "";
  std::string text = "\nWhat follows\n";
  for (const std::string& sentence : story) text += "  " + sentence + "\n";
  return text;
}

}  // namespace setstress
