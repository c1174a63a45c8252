// What is told of fluid in gaps, from hand-made instants: sums by hand, no source needed.

#include <catch2/catch.hpp>
#include <cmath>

#include "cases/fluid/gap_fluid.hpp"
#include "cases/words/fluid_words.hpp"
#include "cases/words/story_words.hpp"
#include "solver/fluid/gap_pockets.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using nlohmann::ordered_json;

namespace {

/// One bite of 1 s from 10 s on, which ends with the run.
Model bitten() {
  Model model;
  model.timeline.bites = {{.surface = "top",
                           .centre = std::nullopt,
                           .radius = 1,
                           .force = 80,
                           .direction = {0, 0, -1},
                           .start = 10,
                           .ramp = 0.5,
                           .hold = 0,
                           .unload = 0.5}};
  model.timeline.end = 11;
  model.gap_fluid = GapFluid{.pulp_pressure = 2e-3, .from = 9};
  return model;
}

GapPocket pocket(double pressure, double outflow) {
  return {.first_point = 6,
          .area = 3,
          .drained = 2,
          .conductance = 0.5,
          .pressure = pressure,
          .gap_volume = 4e-3,
          .fluid = 3e-3,
          .outflow = outflow};
}

NumberedGap gap(int number, bool open) {
  NumberedGap numbered{number, {}};
  numbered.gap.area = 3;
  numbered.gap.open_to_margin = open;
  return numbered;
}

/// Gap 2 presses 1 uL/s out for half a second, takes 0.5 uL/s back in for a quarter, and then opens.
std::vector<GapInstant> instants() {
  return {{9, "", {gap(2, false)}, {{2, pocket(9, 9)}}},
          {10, "bite 1 on", {gap(1, true), gap(2, false), gap(3, false)}, {{2, pocket(1e-3, 5)}}},
          {10.5, "bite 1 goes off", {gap(1, true), gap(2, false)}, {{2, pocket(3e-3, 1e-3)}}},
          {10.75, "", {gap(1, true), gap(2, false)}, {{2, pocket(-2e-3, -0.5e-3)}}},
          {11, "bite 1 off", {gap(1, true), gap(2, true)}, {}}};
}

}  // namespace

TEST_CASE("what a bite does to the fluid of a gap is summed over its steps", "[cases]") {
  const ordered_json fluid = fluid_json(bitten(), instants());
  REQUIRE(fluid.at("bites").size() == 1);
  const ordered_json& bite = fluid.at("bites").at(0);
  CHECK(bite.at("gaps_open_before") == 1);
  CHECK(bite.at("gaps_too_small_before") == 1);
  CHECK_THAT(fluid.at("left_out").get<std::string>(),
             Contains("less than " + std::to_string(std::lround(100 * smallest_pocket)) + " %"));
  REQUIRE(bite.at("gaps").size() == 1);
  const ordered_json& of_gap = bite.at("gaps").at(0);
  CHECK(of_gap.at("gap") == 2);
  CHECK(of_gap.at("share_filled_before").get<double>() == Approx(0.75));
  CHECK(of_gap.at("fills_from_pulp_in_s").get<double>() == Approx(4e-3 / (0.5 * 2e-3)));
  CHECK(of_gap.at("highest_pressure_kPa").get<double>() == Approx(3));
  CHECK(of_gap.at("lowest_pressure_kPa").get<double>() == Approx(-2));
  CHECK(of_gap.at("to_pulp_nL").get<double>() == Approx(0.5));
  CHECK(of_gap.at("outward_nL").get<double>() == Approx(0.125));
  CHECK(of_gap.at("fastest_to_pulp_um_s").get<double>() == Approx(0.5));
  CHECK(of_gap.at("fastest_outward_um_s").get<double>() == Approx(0.25));
  CHECK(of_gap.at("opened_to_margin_s") == 11);
  const std::string words = fluid_text({{"gap_fluid", fluid}});
  CHECK_THAT(words, Contains("opens to the margin") && Contains("no verdict on a person"));
  CHECK_THAT(fluid_sentence({{"gap_fluid", fluid}}), Contains("0.50 um/s to the pulp and 0.25 outward"));
  CHECK(fluid_text({{"bond", 1}}).empty());
  CHECK(fluid_sentence({{"bond", 1}}).empty());
  CHECK(fluid_table(instants()).ends_with("10.75,\"\",2,3,2,-2,4,3,-0.5,-0.25\n"));
}

TEST_CASE("a run that ends before its bite or within it tells of none", "[cases]") {
  std::vector<GapInstant> until = instants();
  until.pop_back();
  CHECK(fluid_json(bitten(), until).at("bites").empty());
  const ordered_json fluid = fluid_json(bitten(), {{9, "", {}, {}}});
  CHECK(fluid.at("bites").empty());
  CHECK(fluid_sentence({{"gap_fluid", fluid}}).empty());
}

namespace {

/// Before, at and after a bite of 80 N at 10 s, with `debonded` let go of 10 mm2.
ordered_json bites_of(double debonded, double after) {
  const auto instant = [](double time, double area, double volume) {
    const ordered_json bond{{"share_of_whole_debonded", area / 10}, {"gap_volume_nL", volume}};
    return ordered_json{{"time_s", time}, {"debonded_mm2", area}, {"walls", ordered_json::array({bond})}};
  };
  const ordered_json bite{{"bite", 1},
                          {"force_N", 80.0},
                          {"before", instant(10, debonded, 4)},
                          {"full", instant(10.5, debonded, 3)},
                          {"after", instant(11, after, 5)}};
  return {{"bites", ordered_json::array({bite})}};
}

ordered_json gaps_of(const ordered_json& gaps, const ordered_json& records) {
  return {
      {"at_events", {{{"time_s", 9.0}, {"gaps", ordered_json::array()}}, {{"time_s", 10.0}, {"gaps", gaps}}}},
      {"records", records}};
}

ordered_json told_gap(int number, double area, bool open) {
  return {{"number", number},
          {"where",
           {{{"wall", "floor"}, {"area_mm2", 0.4 * area}},
            {{"wall", "axial"}, {"area_mm2", 0.3 * area}},
            {{"wall", "axial"}, {"area_mm2", 0.3 * area}}}},
          {"area_mm2", area},
          {"mean_um", 2.0},
          {"sound_bond_to_margin_mm", open ? 0.0 : 0.5},
          {"open_to_margin", open}};
}

std::string joined(const std::vector<std::string>& sentences) {
  std::string text;
  for (const std::string& sentence : sentences) text += sentence + "\n";
  return text;
}

}  // namespace

TEST_CASE("the story of the largest gap is told step by step", "[cases]") {
  const ordered_json enclosed{{"merged_into", nullptr}, {"open_since_s", nullptr}};
  ordered_json opened = enclosed;
  opened["open_since_s"] = 11.0;
  ordered_json summary{{"bites", bites_of(4, 5)},
                       {"gaps", gaps_of(ordered_json::array({told_gap(1, 1, true), told_gap(2, 3, false)}),
                                        ordered_json::array({enclosed, opened}))},
                       {"gap_fluid", fluid_json(bitten(), instants())}};
  CHECK_THAT(joined(story_sentences(summary)),
             Contains("4.0 mm2 of the bond, 40 % of it, has let go, in 2 gaps") &&
                 Contains("gap 2, has 3.00 mm2, 1.80 of it on the axial wall") &&
                 Contains("0.50 mm of sound bond to the nearest margin") &&
                 Contains("fluid fills 75 % of its 4.00 nL") && Contains("Pressed by bite 1 of 80 N") &&
                 Contains("0.50 nL of it go to the pulp") && Contains("open to the margin, since 11 s") &&
                 Contains("1.00 mm2 of bond let go under the bites"));
  summary["gaps"] = gaps_of(ordered_json::array({told_gap(1, 3, true)}), ordered_json::array({opened}));
  CHECK_THAT(joined(story_sentences(summary)),
             Contains("it is open to the margin") && Contains("keeps no pressure") && !Contains("kPa"));
  summary["gaps"] = gaps_of(ordered_json::array(), ordered_json::array());
  CHECK_THAT(joined(story_sentences(summary)), Contains("no gap to fill or to press"));
  summary["bites"]["bites"] = ordered_json::array();
  CHECK(story_sentences(summary).empty());
  CHECK(story_text({{"bond", 1}}).empty());
}
