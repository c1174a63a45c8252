#include "cases/study/file/output_words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <vector>

#include "cases/study/file/output_path.hpp"

namespace setstress {

namespace {

struct Suffix {
  std::string_view suffix, unit;
};
/// Keys of the summary end in their unit; longer endings first.
constexpr std::array suffixes{Suffix{"_N_per_um", "N/µm"}, Suffix{"_mW_cm2", "mW/cm2"}, Suffix{"_MPa", "MPa"},
                              Suffix{"_GPa", "GPa"},       Suffix{"_mm2", "mm2"},       Suffix{"_mm3", "mm3"},
                              Suffix{"_mm", "mm"},         Suffix{"_um", "µm"},         Suffix{"_nL", "nL"},
                              Suffix{"_mJ", "mJ"},         Suffix{"_N", "N"},           Suffix{"_s", "s"}};

struct KeyWords {
  std::string_view key, words;
  Better better = Better::unsaid;
};
constexpr Better lower = Better::lower, higher = Better::higher;
constexpr std::array key_words{
    KeyWords{"chair_time_s", "chair time", lower},
    KeyWords{"area_mm2", "area"},
    KeyWords{"placed_area_mm2", "area with composite on it"},
    KeyWords{"normal_traction_mean_MPa", "normal traction, mean"},
    KeyWords{"normal_traction_p95_MPa", "normal traction, 95th percentile", lower},
    KeyWords{"shear_traction_mean_MPa", "shear traction, mean", lower},
    KeyWords{"shear_traction_p95_MPa", "shear traction, 95th percentile", lower},
    KeyWords{"stress_to_strength_mean", "stress over strength, mean", lower},
    KeyWords{"stress_to_strength_p95", "stress over strength, 95th percentile", lower},
    KeyWords{"area_fraction_above_1", "share of the placed part at strength", lower},
    KeyWords{"debonded_fraction", "share of the placed part that has let go", lower},
    KeyWords{"share_of_whole_at_strength", "share at strength", lower},
    KeyWords{"share_of_whole_debonded", "share that has let go", lower},
    KeyWords{"share_of_whole_softened", "share that has begun to lose strength", lower},
    KeyWords{"mean_strength_lost_of_whole", "share of strength lost, mean", lower},
    KeyWords{"chance_started_failing", "chance that failure has started", lower},
    KeyWords{"largest_gap_um", "widest gap", lower},
    KeyWords{"mean_gap_um", "gap, mean", lower},
    KeyWords{"gap_volume_mm3", "volume of the gap", lower},
    KeyWords{"conversion_mean", "relative conversion, mean", higher},
    KeyWords{"conversion_p05", "relative conversion, 5th percentile", higher},
    KeyWords{"conversion_least", "relative conversion, least", higher},
    KeyWords{"conversion_top", "relative conversion at the top", higher},
    KeyWords{"conversion_bottom", "relative conversion at the bottom", higher},
    KeyWords{"bottom_over_top", "conversion at the bottom over that at the top", higher},
    KeyWords{"double_bonds_converted_mean", "share of double bonds converted, mean", higher},
    KeyWords{"double_bonds_converted_top", "share of double bonds converted at the top", higher},
    KeyWords{"double_bonds_converted_bottom", "share of double bonds converted at the bottom", higher},
    KeyWords{"both_um", "movement of both cusps, summed", lower},
    KeyWords{"buccal_um", "movement of the buccal cusp", lower},
    KeyWords{"lingual_um", "movement of the lingual cusp", lower},
    KeyWords{"c_factor", "C-factor"},
    KeyWords{"widest_um", "widest opening", lower},
    KeyWords{"volume_nL", "volume", lower},
    KeyWords{"sound_bond_to_margin_mm", "sound bond to the margin", higher},
    KeyWords{"open_area_mm2", "area open to the margin", lower},
    KeyWords{"p50_MPa", "largest principal stress, median", lower},
    KeyWords{"p95_MPa", "largest principal stress, 95th percentile", lower},
    KeyWords{"p99_MPa", "largest principal stress, 99th percentile", lower},
    KeyWords{"time_s", "time"}};

std::string unit_of(std::string_view key) {
  const auto found = std::ranges::find_if(suffixes, [&](const Suffix& s) { return key.ends_with(s.suffix); });
  return found == suffixes.end() ? "-" : std::string(found->unit);
}

std::string spaced(std::string_view text) {
  std::string words(text);
  std::ranges::replace(words, '_', ' ');
  return words;
}

KeyWords known(std::string_view key) {
  const auto found = std::ranges::find(key_words, key, &KeyWords::key);
  return found == key_words.end() ? KeyWords{key, ""} : *found;
}

/// "share_at_something_mm2" becomes "share at something".
std::string words_of_key(std::string_view key) {
  if (const KeyWords found = known(key); !found.words.empty()) return std::string(found.words);
  for (const Suffix& s : suffixes)
    if (key.ends_with(s.suffix) && key.size() > s.suffix.size())
      return spaced(key.substr(0, key.size() - s.suffix.size()));
  return spaced(key);
}

/// Which element of a list: "floor on enamel" of [wall=floor, substrate=enamel], "increment 1" of
/// increments[1].
std::string words_of_element(const PathStep& step) {
  std::string singular = spaced(step.key);
  if (singular.ends_with('s')) singular.pop_back();
  if (step.conditions.empty()) {
    if (step.element == "last") return "last " + singular;
    return fmt::format("{} {}", singular, step.element);
  }
  std::vector<std::string> words;
  for (const auto& [key, value] : step.conditions) {
    if (key == "wall")
      words.insert(words.begin(), value == "all" ? "whole bond" : value);
    else if (key == "substrate") {
      if (value != "all") words.push_back("on " + value);
    } else
      words.push_back(fmt::format("{} {}", key == "number" ? singular : spaced(key), value));
  }
  return fmt::format("{}", fmt::join(words, " "));
}

/// What a key in the middle of a path adds at the end of a label.
std::string words_of_instant(std::string_view key) {
  if (key == "worst") return "at the worst instant";
  if (key == "end") return "at the end";
  if (key == "highest_p95" || key == "highest_mean" || key == "largest") return "highest";
  if (key == "higher_while_part_filled") return "while part of it is filled";
  if (key == "before") return "before the bite";
  if (key == "full") return "at full force";
  if (key == "after") return "after the bite";
  return "";
}

bool says_nothing(std::string_view key) {
  constexpr std::array silent{"bond",  "cure",         "c_factors",       "cusp_deflection", "gaps",
                              "bites", "surface_sink", "energies_at_end", "at_events"};
  return std::ranges::any_of(silent, [&](const char* each) { return key == each; });
}

std::string label_of(const std::vector<PathStep>& steps) {
  std::string where, when;
  const auto add = [](std::string& to, const std::string& words, const char* between) {
    if (!words.empty()) to += (to.empty() ? "" : between) + words;
  };
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    const PathStep& step = steps[i];
    const bool is_event = step.key == "at_events" || step.key == "tensile_stress_at_events";
    if (const std::string instant = words_of_instant(step.key); !instant.empty())
      add(when, instant, ", ");
    else if (is_event && !step.element.empty())
      add(when, step.element == "last" ? "at the last event" : fmt::format("at event {}", step.element),
          ", ");
    else if (!step.element.empty())
      add(where, words_of_element(step), ", ");
    else if (!says_nothing(step.key))
      add(where, spaced(step.key), ", ");
  }
  std::string label = words_of_key(steps.back().key);
  if (!where.empty()) label = where + ": " + label;
  return when.empty() ? label : label + ", " + when;
}

}  // namespace

OutputWords words_of(std::string_view path) {
  std::vector<std::string> labels, units;
  std::vector<Better> better;
  for (const std::vector<PathStep>& steps : parsed_path(path)) {
    const std::string key(steps.back().key);
    labels.push_back(label_of(steps));
    if (const std::string unit = unit_of(key); unit != "-") units.push_back(unit);
    better.push_back(known(key).better);
  }
  const bool agree = std::ranges::all_of(better, [&](Better each) { return each == better.front(); });
  return {fmt::format("{}", fmt::join(labels, " times ")),
          units.empty() ? "-" : fmt::format("{}", fmt::join(units, " ")),
          labels.size() == 1 || agree ? better.front() : Better::unsaid};
}

std::string name_of(Better better) {
  return better == Better::lower ? "lower" : better == Better::higher ? "higher" : "";
}

Better better_from(std::string_view name) {
  return name == "lower" ? Better::lower : name == "higher" ? Better::higher : Better::unsaid;
}

}  // namespace setstress
