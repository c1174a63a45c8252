#include "cases/compare/comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "cases/check/cure_json.hpp"
#include "cases/compare/cure_words.hpp"
#include "cases/compare/verdict.hpp"
#include "cases/reader/case_error.hpp"
#include "cases/words/bond_words.hpp"
#include "cases/words/fluid_words.hpp"
#include "cases/words/gap_words.hpp"
#include "cases/words/wall_numbers.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::string name_of(const ordered_json& summary) {
  return "\"" + summary.at("case").get<std::string>() + "\"";
}

ordered_json or_null(const std::optional<double>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json highest_json(const std::optional<WallNumbers::Highest>& highest) {
  if (!highest) return nullptr;
  return {{"stress_to_strength_p95", highest->ratio},
          {"time_s", highest->time},
          {"placed_area_mm2", highest->placed}};
}

ordered_json wall_json(const WallNumbers& wall) {
  return {{"area_mm2", wall.area},
          {"highest_p95", highest_json(wall.highest)},
          {"higher_while_part_filled", highest_json(wall.higher_while_part_filled)},
          {"share_of_whole_at_strength_worst", or_null(wall.at_strength)},
          {"worst_time_s", or_null(wall.worst_time)},
          {"chance_started_failing_end", or_null(wall.chance_started)},
          {"stored_over_needed_energy", or_null(wall.energy_bound)},
          {"share_of_whole_debonded_end", or_null(wall.debonded)},
          {"share_of_whole_softened_end", or_null(wall.softened)},
          {"mean_strength_lost_of_whole_end", or_null(wall.strength_lost)},
          {"largest_gap_um_end", or_null(wall.largest_gap)},
          {"gap_volume_mm3_end", or_null(wall.gap_volume)},
          {"conversion_mean_end", or_null(wall.conversion)}};
}

/// Pairs of walls that are mirror images in any of the results: in that one, which of the two is worse is
/// chance, so it cannot be set against either wall of another.
ordered_json mirror_pairs(const std::vector<ResultRecord>& results) {
  ordered_json pairs = ordered_json::array();
  for (const ResultRecord& result : results)
    for (const ordered_json& pair : result.summary.at("mirror_walls"))
      if (std::ranges::find(pairs, pair) == pairs.end()) pairs.push_back(pair);
  return pairs;
}

/// What must be known of one result: its mesh, its cure, and where the bond holds what parts of walls bore.
std::vector<std::string> notes_of(const ComparedSide& side, const ordered_json& summary) {
  std::vector<std::string> notes;
  for (const std::string& note : {coarse_mesh_sentence(summary), under_cure_of(summary).sentence})
    if (!note.empty()) notes.push_back(note);
  if (const std::string field = strength_field_sentence(summary); !field.empty()) notes.push_back(field);
  if (const std::string gaps = gap_sentence(summary); !gaps.empty()) notes.push_back(gaps);
  if (const std::string fluid = fluid_sentence(summary); !fluid.empty()) notes.push_back(fluid);
  if (summary.at("mode") == "debonding") return notes;
  for (const WallNumbers& wall : side.walls)
    if (const std::string part = part_filled_sentence(wall); !part.empty())
      notes.push_back("higher while it was filled in part: " + part);
  return notes;
}

ComparedSide side_of(const ResultRecord& result, const ordered_json& pairs) {
  return {.name = name_of(result.summary),
          .walls = wall_numbers(result.summary, pairs),
          .coarse = !coarse_mesh_sentence(result.summary).empty(),
          .end_time = result.summary.at("end_time_s"),
          .chair_time = result.summary.at("chair_time_s"),
          .top_conversion = top_conversion(result.summary)};
}

ordered_json result_numbers(const ResultRecord& result, const ComparedSide& side) {
  const ordered_json &summary = result.summary, &cusps = summary.at("cusp_deflection");
  ordered_json walls = ordered_json::object();
  for (const WallNumbers& wall : side.walls) walls[wall.wall] = wall_json(wall);
  return {{"name", summary.at("case")},
          {"title", summary.at("title")},
          {"mode", summary.at("mode")},
          {"invented", summary.at("invented")},
          {"composites", summary.at("composites")},
          {"chair_time_s", summary.at("chair_time_s")},
          {"exposures_J_cm2", exposures_text(summary.at("timeline"))},
          {"cusps_towards_cavity_um_end",
           cusps.is_null() ? ordered_json(nullptr) : cusps.at("end").at("both_um")},
          {"too_coarse_for_percentiles", side.coarse},
          {"notes", notes_of(side, summary)},
          {"bond", walls}};
}

std::string mesh_sentence(const ComparedSide& a, const ComparedSide& b) {
  return fmt::format(
      "{} and {} are on different meshes: percentiles and areas at strength of the two are not comparable.",
      a.name, b.name);
}

bool differs_in(const std::vector<Difference>& differences, const char* group) {
  return std::ranges::any_of(differences, [&](const Difference& d) { return d.group == group; });
}

/// Of both walls and bond, as far as their meshes can tell.
std::vector<std::string> bond_sentences(const ComparedSide& a, const ComparedSide& b, bool debonding,
                                        bool other_mesh) {
  if (other_mesh) return {mesh_sentence(a, b)};
  std::vector<std::string> sentences;
  for (const ComparedSide* side : {&a, &b})
    if (side->coarse)
      sentences.push_back(fmt::format("The mesh of {} is too coarse for percentiles and areas.", side->name));
  sentences.push_back(debonding ? letting_go_sentence(a, b) : load_sentence(a, b));
  const std::string whole = whole_bond_sentence(a, b, debonding);
  if (!whole.empty()) sentences.push_back(whole);
  if (const std::string energy = energy_sentence(a, b); !energy.empty()) sentences.push_back(energy);
  return sentences;
}

ordered_json pair_json(const ResultRecord& first, const ResultRecord& second, const ordered_json& pairs) {
  const ComparedSide a = side_of(first, pairs), b = side_of(second, pairs);
  const std::vector<Difference> differences = what_differs(first, second);
  const bool alike = placed_alike(first, second);
  std::vector<std::string> sentences =
      bond_sentences(a, b, first.summary.at("mode") == "debonding", differs_in(differences, "mesh"));
  for (const std::string& sentence : cure_sentences(a, b, first.summary.at("mode") == "debonding"))
    sentences.push_back(sentence);
  sentences.push_back(chair_sentence(a, b));
  const std::vector<std::string> in_brief = sentences;
  if (const std::string age = age_sentence(a, b); !age.empty()) sentences.push_back(age);
  for (const std::string& sentence : differs_sentences(differences, alike, a.name, b.name))
    sentences.push_back(sentence);
  ordered_json differs = ordered_json::array();
  for (const Difference& d : differences)
    differs.push_back(
        {{"group", d.group}, {"name", d.name}, {"unit", d.unit}, {"first", d.first}, {"second", d.second}});
  return {{"first", first.summary.at("case")},
          {"second", second.summary.at("case")},
          {"sentences", sentences},
          {"in_brief", in_brief},
          {"placed_alike", alike},
          {"differs", differs}};
}

std::string limits_of_all(const std::vector<ResultRecord>& results, const std::string& mode) {
  std::set<std::string> composites, flowing;  // of one name in two results may flow in one only
  for (const ResultRecord& result : results) {
    const auto of_result = [&](const std::string& name) { return name_of(result.summary) + ": " + name; };
    for (const auto& name : result.summary.at("composites")) composites.insert(of_result(name));
    for (const auto& name : result.summary.at("composites_that_flow")) flowing.insert(of_result(name));
  }
  return limits_of_mode(mode, composites, flowing);
}

void require_one_mode(const std::vector<ResultRecord>& results) {
  const ordered_json& first = results.front().summary;
  for (const ResultRecord& result : results)
    if (result.summary.at("mode") != first.at("mode"))
      throw CaseError(fmt::format("{} was run as {} and {} as {}; compare runs of one mode (--mode)",
                                  name_of(first), first.at("mode").get<std::string>(),
                                  name_of(result.summary), result.summary.at("mode").get<std::string>()));
}

}  // namespace

void require_comparable(const ordered_json& summary) {
  if (!summary.contains("mirror_walls"))
    throw CaseError(
        fmt::format("{} was run by an earlier setstress; run it again to compare it", name_of(summary)));
  if (!summary.at("reached_the_end").get<bool>())
    throw CaseError(fmt::format("{} was stopped after {}, before its end; run it to its end to compare it",
                                name_of(summary), duration_text(summary.at("end_time_s").get<double>())));
}

ordered_json compare_results(const std::vector<ResultRecord>& results) {
  for (const ResultRecord& result : results) require_comparable(result.summary);
  require_one_mode(results);
  const ordered_json mirrored = mirror_pairs(results);
  ordered_json numbers = ordered_json::array(), pairs = ordered_json::array();
  for (const ResultRecord& result : results)
    numbers.push_back(result_numbers(result, side_of(result, mirrored)));
  for (std::size_t i = 1; i < results.size(); ++i)
    pairs.push_back(pair_json(results.front(), results[i], mirrored));
  const std::string mode = results.front().summary.at("mode");
  return {{"mode", mode},
          {"mirror_walls", mirrored},
          {"results", numbers},
          {"pairs", pairs},
          {"limits", limits_of_all(results, mode)},
          {"caution", caution_line}};
}

}  // namespace setstress
