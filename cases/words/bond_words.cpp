#include "cases/words/bond_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <nlohmann/json.hpp>

#include "solver/report/averaged_bond.hpp"
#include "viz/words/coarse_mesh.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

std::string coarse_mesh_sentence(double element_size, double averaging_points) {
  if (averaging_points >= fewest_averaging_points) return "";
  return fmt::format(
      "too coarse for percentiles: elements of {:.2g} mm, averaging over {} mm holds {:.1f} points",
      element_size, averaging_length, averaging_points);
}

std::string coarse_mesh_sentence(const ordered_json& summary) {
  double fewest = std::numeric_limits<double>::infinity();
  for (const ordered_json& row : summary.at("bond"))
    if (row.at("substrate") == "all" && row.at("wall") != "all")
      fewest = std::min(fewest, row.at("averaging_points_mean").get<double>());
  return coarse_mesh_sentence(summary.at("element_size_at_bond_mm").get<double>(), fewest);
}

std::string mode_in_words(const std::string& mode) {
  return mode == "debonding" ? "the bond may let go" : "the bond is assumed to hold";
}

std::string limits_of_mode(const std::string& mode, const std::set<std::string>& composites,
                           const std::set<std::string>& flowing) {
  const std::string paste = flowing.empty() ? "paste that does not flow once it sets"
                            : flowing.size() == composites.size()
                                ? "paste that flows by the law given for it as it sets"
                                : "paste of which some flows by the law given for it and some does not";
  const std::string assumed = fmt::format(
      "It rests on: {}, strengths of small sticks for whole walls, an even film of adhesive, no heat", paste);
  if (mode == "debonding") return assumed + ", and the fracture energies of the library or case.\n";
  return "The ratio says where letting go can start, not whether it spreads: --mode debonding may tell "
         "another "
         "story.\n"
         "A stick is not a floor: at a ratio of 1 about half of such sticks have failed, and a wall of many "
         "sticks starts to fail at its weakest spot, at a smaller ratio the larger it is.\n" +
         assumed + ".\n";
}

std::string energy_share_text(double bound) {
  return bound < 1 ? fmt::format("at most {:.2g} of", bound) : fmt::format("up to {:.2g} times", bound);
}

std::string energy_sentence(const std::vector<WallNumbers>& walls) {
  const auto whole = std::ranges::find(walls, "all", &WallNumbers::wall);
  if (whole == walls.end() || !whole->energy_bound) return "";
  std::string each;
  double highest = 0;
  for (const WallNumbers& wall : walls) {
    if (wall.wall == "all" || !wall.energy_bound) continue;
    highest = std::max(highest, *wall.energy_bound);
    each += fmt::format("{}{}{} {:.2g}", each.empty() ? "" : ", ", wall.mirrored ? "either of " : "",
                        wall.wall, *wall.energy_bound);
  }
  const char* meaning = *whole->energy_bound >= 1 ? "enough for all of it to come off at one go"
                        : highest >= 1
                            ? "not enough for all of it to come off at one go, but enough for a wall"
                            : "not enough for any wall to come off as a whole at one go";
  return fmt::format(
      "By energy: stored is {} what parting the whole bond takes ({}): {}. Whether, where and how far it "
      "lets go, "
      "--mode debonding tells",
      energy_share_text(*whole->energy_bound), each, meaning);
}

std::string chance_text(double chance) {
  if (chance < 0.005) return "<1 %";
  return chance > 0.995 ? ">99 %" : fmt::format("{:.0f} %", 100 * chance);
}

std::string strength_field_sentence(const ordered_json& summary) {
  const auto field = summary.find("strength_field");
  if (field == summary.end() || !field->is_object()) return "";
  return fmt::format(
      "strength and toughness vary along the bond at random, over about {:g} mm (seed {}): another seed has "
      "its weak spots elsewhere, so judge by many (setstress study weak-spots)",
      field->at("length_mm").get<double>(), field->at("seed").get<std::uint64_t>());
}

std::string limits_of(const ordered_json& summary) {
  return limits_of_mode(summary.at("mode"), summary.at("composites").get<std::set<std::string>>(),
                        summary.at("composites_that_flow").get<std::set<std::string>>());
}

std::string mirror_words(const WallNumbers& both) {
  return fmt::format(
      "{}, mirror images: which of the two lets go more is chance of the mesh, and of weak spots where "
      "strength varies",
      wall_in_words(both));
}

std::string part_filled_sentence(const WallNumbers& wall) {
  if (!wall.higher_while_part_filled) return "";
  const auto& part = *wall.higher_while_part_filled;
  return fmt::format("{}{}: {:.2f} at {}, on the {:.2g} mm2 of {:.2g} mm2 filled then",
                     wall.mirrored ? "one of the " : "", wall_in_words(wall), part.ratio,
                     duration_text(part.time), part.placed, part.area);
}

}  // namespace setstress
