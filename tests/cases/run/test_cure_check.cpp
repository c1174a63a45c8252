// What `check` says of light and cure without solving is what a run of the same case and mesh says.
#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <cmath>

#include "cases/check/case_check.hpp"
#include "cases/check/cure_json.hpp"
#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/run/runner.hpp"
#include "cases/study/file/output_path.hpp"
#include "solver/body/cure_field.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using nlohmann::ordered_json;

namespace {

constexpr const char* coarse = "[mesh]\nfineness = 1.2\n";

/// A joint of `depth` [mm] along light from buccal.
std::string joint(double depth, const std::string& light = "") {
  return fmt::format(
      "[specimen]\nkind = \"butt-joint\"\nwidth = {}\n[materials]\nfilling = \"conventional-paste\"\n"
      "[[hold]]\nsurface = \"bottom\"\n[[hold]]\nsurface = \"top\"\n"
      "[[plan.light]]\nirradiance = 1200.0\nduration = \"20 s\"\nfrom = \"buccal\"\n{}"
      "[[plan.increment]]\n[mesh]\nfineness = 0.5\n",
      depth, light);
}

Case read(const std::string& text) {
  const ScratchFolder folder;
  return read_case(folder.write("case.toml", text));
}

Case ready_joint() {
  RunSettings settings;
  settings.fineness = "coarse";
  return case_for("butt-joint", settings);
}

ordered_json checked(const Case& input) {
  return check_report(input, pose(input));
}

ordered_json summary_of(const Case& input) {
  return solve_case(input, pose(input),
                    [](const Frame&, const HistoryEntry&, const Progress&) { return true; })
      .summary;
}

/// Every number of `run` is in `check`, but for what either integration of the cure law may be off: 1e-6
/// each.
void require_same(const ordered_json& check, const ordered_json& run) {
  REQUIRE(check.size() == run.size());
  for (std::size_t i = 0; i < run.size(); ++i)
    for (const auto& [key, value] : run[i].items()) {
      INFO(i << " " << key);
      if (value.is_number_float())
        CHECK_THAT(check[i].at(key).get<double>(), WithinAbs(value.get<double>(), 2e-6));
      else
        CHECK(check[i].at(key) == value);
    }
}

}  // namespace

TEST_CASE("check and run give the same cure for the same case and mesh", "[cure]") {
  const bool box = GENERATE(false, true);
  const Case input = box ? read(good_case + coarse) : ready_joint();
  const ordered_json check = checked(input), run = summary_of(input);
  require_same(check["cure"]["increments"], run["cure"]["increments"]);
  require_same(check["cure"]["walls"], run["cure"]["walls"]);
  CHECK(check["warnings"] == run["warnings"]);
  for (const ordered_json& row : run["cure"]["walls"])
    CHECK(value_at(run, fmt::format("bond[wall={}, substrate=all].end.conversion_p05",
                                    row["wall"].get<std::string>())) == row["conversion_p05"]);
  CHECK(value_at(run, "cure.increments[increment=1].bottom_over_top") > 0.5);
  CHECK(value_at(run, "cure.increments[increment=1].under_cured") == (box ? 0 : 1));
  const Composite& composite = input.materials.composites.begin()->second;
  CHECK(value_at(run, "cure.increments[increment=1].double_bonds_converted_top") ==
        Approx(composite.cure.limiting_conversion *
               value_at(run, "cure.increments[increment=1].conversion_top")));
}

TEST_CASE("a thick dark increment warns of depth and under-cure, a thin one of neither", "[cure]") {
  const ordered_json thick = checked(read(joint(4))), thin = checked(read(joint(1)));
  CHECK(thick["cure"]["increments"][0]["too_thick"] == true);
  CHECK(thick["cure"]["increments"][0]["under_cured"] == true);
  CHECK(thick["warnings"].size() == 2);
  CHECK_THAT(thick["warnings"][0].get<std::string>(), Contains("4.00 mm") && Contains("up to 2 mm"));
  CHECK_THAT(as_text(thick), Contains("the paste has not set through"));
  CHECK(under_cure_of(thick).found());
  CHECK(thin["warnings"].empty());
  CHECK_FALSE(under_cure_of(thin).found());
  CHECK(under_cure_of(thin).known);
  CHECK_FALSE(under_cure_of(ordered_json::object()).known);  // a result of before
}

TEST_CASE("paste that never sees light is under-cured, also where it is thin", "[cure]") {
  std::string dark = joint(1);
  const auto from = dark.find("[[plan.light]]"), to = dark.find("[[plan.increment]]");
  dark.replace(from, to - from, "");
  dark.replace(dark.find("[[plan.increment]]\n"), 19, "[[plan.increment]]\nlight = []\n");
  const ordered_json report = checked(read(dark));
  CHECK(report["cure"]["increments"][0]["bottom_over_top"].is_null());
  CHECK(under_cure_of(report).increments == std::vector{1});
}

TEST_CASE("a class that does not say how thick an increment may be is not warned of", "[cure]") {
  Case input = read(joint(4));
  input.materials.composites.at("conventional-paste").increment_depth = 0;
  const ordered_json report = checked(input);
  CHECK(report["cure"]["increments"][0]["class_depth_mm"].is_null());
  CHECK(report["cure"]["increments"][0]["too_thick"] == false);
}

TEST_CASE("the library's classes say how thick an increment may be, and that this is practice", "[cure]") {
  const Case input = read(joint(1));
  CHECK(input.materials.composites.at("conventional-paste").increment_depth == 2);
  const ordered_json& sourced =
      input.materials.provenance.at("composite").at("conventional-paste").at("values").at("increment_depth");
  CHECK(sourced.at("unit") == "mm");
  CHECK(sourced.at("source") == "common practice, no source");
}

// Derived from light through 2 and 4 mm (Oper Dent 2018;43:E19) and losses with distance (Oper Dent
// 2021;46:271): 24 J/cm2 x 0.75 x (0.029 to 0.074).
TEST_CASE(
    "a middling lamp leaves 0.5 to 1.3 J/cm2 of 24 on a floor 4 mm from its tip under 4 mm of bulk-fill",
    "[verification][cure]") {
  const Exposure lamp =
      read(joint(4, "distance_curve = \"middle-collimation\"\n")).plan.timeline.exposures.at(0);
  const double sent = 1e-3 * lamp.irradiance * lamp.duration;
  CHECK(sent == Approx(24));
  const auto at_floor = [&](double attenuation) {
    return sent * lamp.tip->kept.at(lamp.tip->to(4)) * LightLaw{0, attenuation}.at_depth(1, 4);
  };
  CHECK_THAT(at_floor(0.89), WithinAbs(0.5, 0.05));  // both as rounded there
  CHECK_THAT(at_floor(0.65), WithinAbs(1.3, 0.05));
}

TEST_CASE("the distance from the tip takes the share of light that the curve says", "[cure]") {
  const ordered_json plain = checked(read(joint(4)))["cure"]["increments"][0];
  const ordered_json lamp =
      checked(read(joint(4, "distance_curve = \"poor-collimation\"\n")))["cure"]["increments"][0];
  const auto share = [&](const char* key) {
    return lamp.at(key).get<double>() / plain.at(key).get<double>();
  };
  CHECK_THAT(share("radiant_exposure_top_J_cm2"), WithinAbs(1 - 0.15 * 0.1, 0.01));  // 0.1 mm below the tip
  CHECK_THAT(share("radiant_exposure_bottom_J_cm2"), WithinAbs(0.45 + 0.125 * 0.1, 0.01));
  CHECK(lamp["conversion_bottom"] < plain["conversion_bottom"]);
}

TEST_CASE("keys of the lamp's distance that cannot be are refused", "[cure]") {
  const auto [light, words] = GENERATE(
      std::pair{"tip_gap = 2.0\n", "changes nothing"}, std::pair{"distance_table = [[0, 0.9]]\n", "[0, 1]"},
      std::pair{"distance_table = [[0, 1], [2, 0.5], [4, 0.6]]\n", "must rise"},
      std::pair{"distance_curve = \"poor-collimation\"\ndistance_table = [[0, 1]]\n", "one of the two"},
      std::pair{"distance_curve = \"poor-collimation\"\ntip_gap = 1\ntip_distance = 1\n", "one of the two"},
      std::pair{"distance_curve = \"poor\"\n", "good-collimation"});
  CHECK_THROWS_WITH(read(joint(4, light)), Contains(words));
}

TEST_CASE("a table that ends before the filling does is refused, unless the case keeps its last value",
          "[cure]") {
  const std::string table = "distance_table = [[0, 1], [2, 0.8]]\n";
  CHECK_THROWS_WITH(pose(read(joint(4, table))), Contains("ends at 2 [mm]") && Contains("keep-last"));
  CHECK_NOTHROW(pose(read(joint(4, table + "beyond_table = \"keep-last\"\n"))));
  CHECK_NOTHROW(pose(read(joint(4, table + "tip_distance = 1.5\n"))));
}

TEST_CASE("what is reflected is up to the surface that the light enters first", "[cure]") {
  std::string text = good_case + coarse + "[materials.override.flowable.light]\nreflection = 0.4\n";
  text.replace(text.find("wait = \"1 min\""), 14, "material = \"flowable\"");
  const Case input = read(text);
  const Model model = pose(input);
  const LightPaths light(model.mesh);
  CureField cure(model, light);
  const Exposure lamp = input.plan.timeline.exposures.at(0);
  const auto reflected = [&](const std::vector<char>& placed, int increment) {
    cure.set_light(placed, {lamp});
    const LightPaths::Lengths& lengths = light.towards_lamp(lamp.direction);
    double least = 1, most = 0;
    for (std::size_t i = 0; i < cure.filling().size(); ++i) {
      const int region = model.mesh.tetrahedra[static_cast<std::size_t>(cure.filling()[i])].region;
      if (model.mesh.regions[static_cast<std::size_t>(region)].increment != increment) continue;
      double depth = 0;
      bool through_top = false;
      for (std::size_t r = 0; r < model.mesh.regions.size(); ++r) {
        const auto* law = std::get_if<Composite>(&model.materials[r]);
        depth += lengths[i][0][r] * (law == nullptr ? model.tissue_attenuation
                                     : placed[r]    ? law->light.attenuation
                                                    : 0);
        through_top = through_top || (model.mesh.regions[r].increment == 1 && lengths[i][0][r] > 0);
      }
      if (!through_top) continue;
      const double share = 1 - cure.irradiance()[i][0] / (lamp.irradiance * std::exp(-depth));
      least = std::min(least, share);
      most = std::max(most, share);
    }
    return std::pair{least, most};
  };
  std::vector<char> first, both;
  for (const Region& region : model.mesh.regions) {
    first.push_back(region.increment != 1);
    both.push_back(1);
  }
  for (const auto& [share, expected] :
       {std::pair{reflected(first, 0), 0.1}, std::pair{reflected(both, 0), 0.4},
        std::pair{reflected(both, 1), 0.4}}) {
    CHECK_THAT(share.first, WithinAbs(expected, 1e-12));
    CHECK_THAT(share.second, WithinAbs(expected, 1e-12));
  }
}
