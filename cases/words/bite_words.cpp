#include "cases/words/bite_words.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/words/told.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

const ordered_json& whole_bond(const ordered_json& instant) {
  return instant.at("walls").back();
}

std::string bite_row(const ordered_json& bite) {
  const ordered_json &before = bite.at("before"), &full = bite.at("full"), &after = bite.at("after");
  return fmt::format(
      "  {:<6}{:>7.0f}{:>15.0f}{:>10.1f}{:>13.1f}{:>9.1f}{:>8.1f}{:>13.2f}{:>10.1f}{:>14.2f}\n",
      bite.at("bite").get<int>(), told(bite, "force_N"), told(bite, "patch_pressure_MPa"),
      told(full, "sink_um"), told(whole_bond(before), "gap_volume_nL"),
      told(whole_bond(full), "gap_volume_nL"), told(whole_bond(after), "gap_volume_nL"),
      told(full, "closed_mm2"), told(full, "closed_force_N"),
      told(after, "debonded_mm2") - told(before, "debonded_mm2"));
}

/// By wall that has a gap: its mean opening before the last bite and at its full force.
std::string walls_sentence(const ordered_json& bite) {
  std::string text;
  const ordered_json &before = bite.at("before").at("walls"), &full = bite.at("full").at("walls");
  for (std::size_t w = 0; w + 1 < before.size(); ++w) {
    if (!(told(before[w], "debonded_mm2") > 0)) continue;
    text += fmt::format("{}{} {:.1f} to {:.1f}", text.empty() ? "" : ", ",
                        before[w].at("wall").get<std::string>(), told(before[w], "mean_gap_um"),
                        told(full[w], "mean_gap_um"));
  }
  if (text.empty()) return "";
  return fmt::format("  mean opening by wall, um, from before bite {} to its full force: {}\n",
                     bite.at("bite").get<int>(), text);
}

/// Stress in what lies behind the gaps, before and at full force.
std::string behind_sentence(const ordered_json& bite) {
  std::string text;
  const ordered_json &before = bite.at("before").at("behind_gaps"), &full = bite.at("full").at("behind_gaps");
  for (const ordered_json& then : before)
    for (const ordered_json& now : full)
      if (now.at("body") == then.at("body"))
        text += fmt::format("{}{} tension {:.1f} to {:.1f}, compression {:.1f} to {:.1f}",
                            text.empty() ? "" : "; ", now.at("body").get<std::string>(),
                            told(then, "tension_mean_MPa"), told(now, "tension_mean_MPa"),
                            told(then, "compression_mean_MPa"), told(now, "compression_mean_MPa"));
  return text.empty() ? ""
                      : fmt::format("  principal stress right behind gaps, mean by area, MPa: {}\n", text);
}

}  // namespace

std::string bites_text(const ordered_json& summary) {
  if (!summary.contains("bites") || summary.at("bites").at("bites").empty()) return "";
  const ordered_json& bites = summary.at("bites").at("bites");
  std::string text =
      "\nBites on the finished filling; gap: volume of all gaps, nL\n  bite  force N  MPa on patch   sinks "
      "um   gap "
      "before  at full   after  pressed mm2   with N  let go, mm2\n";
  for (const ordered_json& bite : bites) text += bite_row(bite);
  text += walls_sentence(bites.back()) + behind_sentence(bites.back());
  return text + "  " + summary.at("bites").at("left_out").get<std::string>() + "\n";
}

}  // namespace setstress
