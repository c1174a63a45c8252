#include "cases/words/fluid_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cases/words/told.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::string filling_text(const ordered_json& fluid) {
  if (!(told(fluid, "filled_share") > 0))
    return fmt::format("enters from the pulp, from {} after the bond was cured on",
                       duration_text(told(fluid, "filled_from_s")));
  return fmt::format("fills {:.0f} % of each as the first bite begins, or as it becomes enclosed later",
                     100 * told(fluid, "filled_share"));
}

std::string gap_row(int bite, const ordered_json& gap) {
  const ordered_json &share = gap.at("share_filled_before"), &filling = gap.at("fills_from_pulp_in_s");
  return fmt::format(
      "  {:<6}{:>3}{:>9.2f}{:>9.2f}{:>7}{:>11}{:>10.1f}{:>10.1f}{:>10.3f}{:>8.3f}{:>9.2f}{:>9.2f}{}\n", bite,
      gap.at("gap").get<int>(), told(gap, "area_mm2"), told(gap, "open_dentin_mm2"),
      share.is_null() ? "-" : fmt::format("{:.0f}", 100 * share.get<double>()),
      filling.is_null() ? "-" : fmt::format("{:.0f}", filling.get<double>()),
      told(gap, "highest_pressure_kPa"), told(gap, "lowest_pressure_kPa"), told(gap, "to_pulp_nL"),
      told(gap, "outward_nL"), told(gap, "fastest_to_pulp_um_s"), told(gap, "fastest_outward_um_s"),
      gap.at("opened_to_margin_s").is_null() ? "" : "  opens to the margin");
}

}  // namespace

std::string fluid_text(const ordered_json& summary) {
  if (!summary.contains("gap_fluid")) return "";
  const ordered_json& fluid = summary.at("gap_fluid");
  std::string text = fmt::format(
      "\nFluid in enclosed gaps: {}; pulp at {:g} kPa\n"
      "                     open   full  fills from  highest    lowest   to pulp outward     um/s     um/s\n"
      "  bite  gap    mm2  dentin      %  pulp in s       kPa       kPa        nL      nL  to pulp  "
      "outward\n",
      filling_text(fluid), told(fluid, "pulp_pressure_kPa"));
  for (const ordered_json& bite : fluid.at("bites")) {
    const int number = bite.at("bite").get<int>();
    for (const ordered_json& gap : bite.at("gaps")) text += gap_row(number, gap);
    if (bite.at("gaps").empty()) text += fmt::format("  {:<6}no gap holds fluid\n", number);
  }
  return text + fmt::format("  beside {:g} um/s to the pulp and {:g} outward: {}\n  left out: {}\n",
                            told(fluid, "pain_to_pulp_um_s"), told(fluid, "pain_outward_um_s"),
                            fluid.at("pain_source").get<std::string>(),
                            fluid.at("left_out").get<std::string>());
}

std::string fluid_sentence(const ordered_json& summary) {
  if (!summary.contains("gap_fluid")) return "";
  const ordered_json& fluid = summary.at("gap_fluid");
  if (fluid.at("bites").empty()) return "";
  double in = 0, out = 0, highest = 0;
  for (const ordered_json& bite : fluid.at("bites"))
    for (const ordered_json& gap : bite.at("gaps")) {
      in = std::max(in, told(gap, "fastest_to_pulp_um_s"));
      out = std::max(out, told(gap, "fastest_outward_um_s"));
      highest = std::max(highest, told(gap, "highest_pressure_kPa"));
    }
  return fmt::format(
      "fluid in enclosed gaps reaches {:.3g} kPa under bites, and {:.2f} um/s to the pulp and {:.2f} outward "
      "in "
      "open dentin (published thresholds of pain {:g} and {:g}, no verdict on a person)",
      highest, in, out, told(fluid, "pain_to_pulp_um_s"), told(fluid, "pain_outward_um_s"));
}

}  // namespace setstress
