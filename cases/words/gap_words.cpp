#include "cases/words/gap_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <vector>

#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t most_told = 5;

/// "floor (cervical dentin), buccal (enamel, cervical dentin)", largest share first.
std::string where_text(const ordered_json& gap) {
  std::vector<std::pair<std::string, std::string>> walls;  // name, substrates
  for (const ordered_json& share : gap.at("where")) {
    const auto wall = share.at("wall").get<std::string>(),
               substrate = share.at("substrate").get<std::string>();
    const auto known = std::ranges::find(walls, wall, &std::pair<std::string, std::string>::first);
    if (known == walls.end())
      walls.emplace_back(wall, substrate);
    else
      known->second += ", " + substrate;
  }
  std::string text;
  for (const auto& [wall, substrates] : walls)
    text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", wall, substrates);
  return text;
}

std::string way_text(const ordered_json& gap, const ordered_json& record, double threshold) {
  if (gap.at("open_to_margin").get<bool>())
    return fmt::format("open to the margin since {} after the bond was cured",
                       duration_text(record.at("open_since_s").get<double>()));
  const ordered_json& sound = gap.at("sound_bond_to_margin_mm");
  if (sound.is_null()) return "enclosed, no way along the bond leads to a margin";
  if (sound.get<double>() > 0)
    return fmt::format("enclosed, {:.2f} mm of sound bond to the nearest margin", sound.get<double>());
  return fmt::format("enclosed: reaches the margin, narrowest on the way {:.2g} um, below {:g} um",
                     gap.at("throat_um").get<double>(), threshold);
}

std::string gap_line(const ordered_json& gap, const ordered_json& gaps) {
  const auto number = gap.at("number").get<std::size_t>();
  return fmt::format("  {:>3}  {:.3g} mm2, {:.3g} nL, widest {:.1f} um, mean {:.1f} um; {}\n       on {}\n",
                     number, gap.at("area_mm2").get<double>(), gap.at("volume_nL").get<double>(),
                     gap.at("widest_um").get<double>(), gap.at("mean_um").get<double>(),
                     way_text(gap, gaps.at("records").at(number - 1), gaps.at("threshold_um").get<double>()),
                     where_text(gap));
}

}  // namespace

std::string gaps_text(const ordered_json& summary) {
  if (!summary.contains("gaps")) return "";
  const ordered_json& gaps = summary.at("gaps");
  std::vector<ordered_json> end = gaps.at("end").at("gaps");
  if (end.empty()) return "\nNo gap: nowhere has the bond let go\n";
  std::ranges::stable_sort(end, std::greater(),
                           [](const ordered_json& gap) { return gap.at("area_mm2").get<double>(); });
  const std::size_t told = std::min(most_told, end.size());
  std::string text = fmt::format("\nGaps at the end: {}{}\n", end.size(),
                                 told < end.size() ? fmt::format(", the largest {}", told) : "");
  for (std::size_t g = 0; g < told; ++g) text += gap_line(end[g], gaps);
  return text + fmt::format(
                    "  open: a way to the rim of the bond that is nowhere narrower than {:g} um; {}\n"
                    "  left out: {}\n",
                    gaps.at("threshold_um").get<double>(), gaps.at("threshold_basis").get<std::string>(),
                    gaps.at("left_out").get<std::string>());
}

std::string gap_sentence(const ordered_json& summary) {
  if (!summary.contains("gaps")) return "";
  const ordered_json& gaps = summary.at("gaps");
  const ordered_json& end = gaps.at("end").at("gaps");
  if (end.empty()) return "no gap at the end: nowhere has the bond let go";
  const ordered_json& largest = *std::ranges::max_element(
      end, {}, [](const ordered_json& gap) { return gap.at("area_mm2").get<double>(); });
  const auto number = largest.at("number").get<std::size_t>();
  return fmt::format(
      "{} at the end: {} has {:.3g} mm2, widest {:.1f} um, {}",
      end.size() == 1 ? "one gap" : fmt::format("{} gaps", end.size()),
      end.size() == 1 ? "it" : "the largest", largest.at("area_mm2").get<double>(),
      largest.at("widest_um").get<double>(),
      way_text(largest, gaps.at("records").at(number - 1), gaps.at("threshold_um").get<double>()));
}

}  // namespace setstress
