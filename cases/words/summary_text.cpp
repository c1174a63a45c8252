#include "cases/words/summary_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cases/check/cure_json.hpp"
#include "cases/words/bite_words.hpp"
#include "cases/words/bond_words.hpp"
#include "cases/words/fluid_words.hpp"
#include "cases/words/gap_words.hpp"
#include "cases/words/story_words.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// One cell of the table; "-" where there is no number, "~" before one that the mesh is too coarse for.
template <class... Value>
std::string cell(bool there, bool coarse, fmt::format_string<Value...> words, Value&&... values) {
  if (!there) return "-";
  return (coarse ? "~" : "") + fmt::format(words, std::forward<Value>(values)...);
}

std::string share_cell(const std::optional<double>& share, bool coarse = false) {
  return cell(share.has_value(), coarse, "{:.0f} %", 100 * share.value_or(0));
}

std::string intact_row(const WallNumbers& wall, bool coarse) {
  const bool whole = wall.highest.has_value();
  const double ratio = whole ? wall.highest->ratio : 0, time = whole ? wall.highest->time : 0;
  return fmt::format(
      "  {:<26}{:>9.2f}{:>13}{:>16}{:>14}{:>16}{:>10}\n", wall_in_words(wall), wall.area,
      cell(whole, coarse, "{:.2f}", ratio), cell(whole, false, "{}", duration_text(time)),
      share_cell(wall.at_strength, coarse),
      cell(wall.worst_time.has_value(), false, "{}", duration_text(wall.worst_time.value_or(0))),
      cell(wall.chance_started.has_value(), coarse, "{}", chance_text(wall.chance_started.value_or(0))));
}

/// Softening keeps the ratio at 1, so from there on it tells no more than that.
std::string debonding_row(const WallNumbers& wall, bool coarse) {
  const double ratio = wall.highest ? wall.highest->ratio : 0;
  const std::string load = ratio >= 0.995 ? "1 or more" : fmt::format("{:.2f}", ratio);
  return fmt::format("  {:<26}{:>9.2f}{:>13}{:>10}{:>11}{:>16}{:>9}\n", wall_in_words(wall), wall.area,
                     cell(wall.highest.has_value(), coarse, "{}", load), share_cell(wall.debonded, coarse),
                     share_cell(wall.softened, coarse), share_cell(wall.strength_lost, coarse),
                     cell(wall.largest_gap.has_value(), false, "{:.1f}", wall.largest_gap.value_or(0)));
}

std::string intact_heading() {
  return fmt::format(
      "Ratio: stress over strength; 1: strength reached. Areas are shares of the whole wall\n"
      "  {:<26}{:>9}{:>13}{:>16}{:>14}{:>16}{:>10}\n",
      "wall", "area mm2", "highest p95*", "after bonding", "at strength*", "after bonding", "chance");
}

std::string debonding_heading() {
  return fmt::format(
      "Ratio: stress over strength; 1: strength reached. Areas are shares of the whole wall, at the end\n"
      "  {:<26}{:>9}{:>13}{:>10}{:>11}{:>16}{:>9}\n",
      "wall", "area mm2", "highest p95*", "let go", "softened", "strength lost", "gap um");
}

std::string ratio_note(const ordered_json& summary) {
  return fmt::format(
      "  * of stress averaged over {} mm. p95: 95 % of the area stays below; the highest while all of the "
      "wall "
      "is filled\n",
      summary.at("averaging_length_mm").get<double>());
}

std::string intact_notes(const std::vector<WallNumbers>& walls, const ordered_json& summary) {
  std::string text = ratio_note(summary) + "    at strength: the largest area of the run\n";
  if (std::ranges::any_of(walls, [](const WallNumbers& wall) { return wall.chance_started.has_value(); }))
    text +=
        "    chance: that it has started to fail somewhere by the end, as sticks scatter (Weibull) and by "
        "its "
        "area\n";
  for (const WallNumbers& wall : walls)
    if (const std::string part = part_filled_sentence(wall); !part.empty())
      text += fmt::format("  higher while it was filled in part: {}\n", part);
  return text;
}

std::string bond_text(const ordered_json& summary) {
  if (summary.at("bond").empty()) return "";
  const bool debonding = summary.at("mode") == "debonding";
  const std::string coarse = coarse_mesh_sentence(summary);
  const std::vector<WallNumbers> walls = wall_numbers(summary, summary.at("mirror_walls"));
  std::string text = "\n" + (debonding ? debonding_heading() : intact_heading());
  for (const WallNumbers& wall : walls)
    if (wall.at_strength)
      text += debonding ? debonding_row(wall, !coarse.empty()) : intact_row(wall, !coarse.empty());
  text += debonding
              ? ratio_note(summary) +
                    "    softened: has begun to lose strength, or has let go; gap: at its widest point\n"
              : intact_notes(walls, summary);
  for (const WallNumbers& wall : walls)
    if (wall.mirrored) text += fmt::format("  {}\n", mirror_words(wall));
  if (!coarse.empty()) text += fmt::format("  ~ {}\n", coarse);
  if (const std::string field = strength_field_sentence(summary); !field.empty())
    text += fmt::format("  Here {}\n", field);
  const std::string energy = energy_sentence(walls);
  return text + "\n" + (energy.empty() ? "" : energy + ".\n") + limits_of(summary);
}

/// "5.2 + 5.3": buccal and lingual [um].
std::string pair_text(const ordered_json& pair) {
  return fmt::format("{:.1f} + {:.1f}", pair["buccal_um"].get<double>(), pair["lingual_um"].get<double>());
}

/// What the cusps do at the end, by each of the ways in which that is measured.
std::string cusps_text(const ordered_json& cusps) {
  if (cusps.is_null()) return "";
  const ordered_json& end = cusps["end"];
  std::string text = fmt::format(
      "\nCusps move towards the cavity by {:.1f} (buccal) and {:.1f} um (lingual) at the end: means over all "
      "of their occlusal surface\nPoints of them, buccal + lingual, um: {} where each moves most",
      end["buccal_um"].get<double>(), end["lingual_um"].get<double>(), pair_text(end["largest_point"]));
  if (end.contains("edge_middle"))
    text += fmt::format("; at the cavity's edge {} at its mesial end, {} in its middle, {} at its distal end",
                        pair_text(end["edge_mesial"]), pair_text(end["edge_middle"]),
                        pair_text(end["edge_distal"]));
  return text + "\n";
}

}  // namespace

std::string summary_text(const ordered_json& summary) {
  const bool bonded = !summary.at("bond").empty();
  std::string text = fmt::format("{}{}{}\n", summary.at("title").get<std::string>(),
                                 summary.at("invented").get<bool>() ? ", invented for demonstration" : "",
                                 bonded ? ": " + mode_in_words(summary.at("mode")) : "");
  if (!summary.at("reached_the_end").get<bool>())
    text += fmt::format("Stopped after {}, before its end: all numbers are of the run until then\n",
                        duration_text(summary.at("end_time_s").get<double>()));
  text += bond_text(summary);
  text += gaps_text(summary);
  if (const std::string cure = cure_text(summary); !cure.empty()) text += "\n" + cure;
  text += cusps_text(summary.at("cusp_deflection")) + bites_text(summary) + fluid_text(summary) +
          story_text(summary);
  return text + fmt::format("Chair time {}{}; largest energy error {:.2g} %\n",
                            duration_text(summary.at("chair_time_s").get<double>()),
                            summary.at("reached_the_end").get<bool>() ? "" : " as planned",
                            100 * summary.at("energies_at_end").at("largest_relative_error").get<double>());
}

}  // namespace setstress
