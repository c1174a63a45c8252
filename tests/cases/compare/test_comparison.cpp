// The sentences must follow the numbers, whichever way they point, and say no more than those.

#include <catch2/catch.hpp>

#include "cases/reader/case_error.hpp"
#include "tests/cases/compare/told_results.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;
using nlohmann::ordered_json;
using Sentences = std::vector<std::string>;

namespace {

std::string text_of(const ResultRecord& a, const ResultRecord& b) {
  return comparison_text(compare_results({a, b}));
}

}  // namespace

TEST_CASE("the wall that differs most is named with both values and the direction", "[cases]") {
  const auto a = told_result("A", {{"floor", 1.9}, {"axial", 0.8}, {"all", 1.5, 0.3}}, 65);
  const auto b = told_result("B", {{"floor", 1.2}, {"axial", 0.9}, {"all", 1.1, 0.1}}, 365);
  CHECK(
      sentences_of(a, b) ==
      Sentences{"The floor differs most: the stress-to-strength ratio (95th percentile by area; 1: strength "
                "reached) is at its highest 1.90 in \"A\" (1 min 5 s after the bond was cured) and 1.20 in "
                "\"B\" (1 min 5 s): 37 % lower. The axial wall goes the other way, from 0.80 to 0.90.",
                "Of the whole bond, 30 % is at its strength at the worst instant in \"A\" and 10 % in \"B\".",
                "\"B\" takes 5 min more chair time (6 min 5 s against 1 min 5 s).",
                "They differ in nothing: all inputs are the same."});
  CHECK_THAT(text_of(b, a), Contains("The floor differs most") && Contains("58 % higher") &&
                                Contains("takes 5 min less chair time"));
}

TEST_CASE("a small difference is not called one", "[cases]") {
  const auto a = told_result("A", {{"floor", 1.00}, {"all", 0.9, 0.04}});
  const auto b = told_result("B", {{"floor", 1.04}, {"all", 0.9, 0.05}});
  CHECK_THAT(text_of(a, b), Contains("No clear difference in load between \"A\" and \"B\"") &&
                                Contains("floor, 1.00 against 1.04") && Contains("Both take 1 min 5 s") &&
                                !Contains("lower") && !Contains("higher stress"));
}

TEST_CASE("nothing is told in per cent of nearly nothing", "[cases]") {
  const auto a = told_result("A", {{"floor", 0.003}, {"all", 0.5}});
  const auto b = told_result("B", {{"floor", 1.33}, {"all", 0.6}});
  CHECK(sentences_of(a, b).front() ==
        "The floor differs most: the stress-to-strength ratio (95th percentile by area; 1: strength reached) "
        "is "
        "at its highest 0.00 in \"A\" (1 min 5 s after the bond was cured) and 1.33 in \"B\" (1 min 5 s).");
}

TEST_CASE("a wall on which nothing was placed has no number, and is not compared", "[cases]") {
  Wall bare{"axial"};
  bare.placed = false;
  const auto a = told_result("A", {{"floor", 1.0}, bare, {"all", 1.0}});
  const auto b = told_result("B", {{"floor", 1.5}, {"axial", 3.0}, {"all", 1.5}});
  const std::string text = text_of(a, b);
  CHECK_THAT(text, Contains("The floor differs most") && !Contains("axial wall"));
  const std::size_t axial = text.find("  axial");
  CHECK_THAT(text.substr(axial, text.find('\n', axial) - axial), Contains("       -") && Contains("3.00"));
}

TEST_CASE("a part that bore more while the wall was filled in part is told with its area", "[cases]") {
  Wall axial{"axial", 0.9};
  axial.part_ratio = 2.61, axial.part_area = 3;
  const auto a = told_result("A", {axial, {"all", 1.0}}),
             b = told_result("B", {{"axial", 0.9}, {"all", 1.0}});
  CHECK_THAT(text_of(a, b), Contains("[1] higher while it was filled in part: axial wall: 2.61 at 1 min 5 s, "
                                     "on the 3 mm2 of 10 mm2 filled then\n"));
  CHECK_THAT(sentences_of(a, b).front(), Contains("No clear difference"));
}

TEST_CASE("an intact comparison names its limits and speaks of no gap", "[cases]") {
  const auto a = told_result("A", {{"floor", 1.9}, {"all", 1.5}}),
             b = told_result("B", {{"floor", 1.2}, {"all", 1.1}});
  const std::string text = text_of(a, b);
  CHECK_THAT(text, Contains("Comparison: the bond is assumed to hold.") &&
                       Contains("The ratio says where letting go can start, not whether it spreads: --mode "
                                "debonding may tell another story.") &&
                       Contains("It rests on: "));
  CHECK_THAT(text, !Contains("gap") && !Contains("let go at the end") && !Contains("strength lost") &&
                       !Contains("failure"));
}

TEST_CASE("what a comparison rests on says whose paste flows", "[cases]") {
  const auto a = told_result("A", {{"all", 1.0}});
  auto b = told_result("B", {{"all", 1.0}});
  CHECK_THAT(text_of(a, b), Contains("It rests on: paste that does not flow once it sets,"));
  b.summary["composites_that_flow"] = {"flowable"};
  CHECK_THAT(text_of(a, b), Contains("paste of which some flows by the law given for it and some does not,"));
  CHECK_THAT(text_of(b, b), Contains("paste that flows by the law given for it as it sets,"));
}

TEST_CASE("intact and debonding runs are not compared", "[cases]") {
  const auto a = told_result("A", {{"all", 1.0}}), b = told_result("B", {{"all", 1.0}}, 65, "debonding");
  CHECK_THROWS_WITH(compare_results({a, b}), Contains("compare runs of one mode"));
}

TEST_CASE("a run that was stopped is refused", "[cases]") {
  const auto a = told_result("A", {{"all", 1.0}});
  auto b = told_result("B", {{"all", 0.0}});
  b.summary["reached_the_end"] = false;
  b.summary["end_time_s"] = 17.2;
  CHECK_THROWS_WITH(compare_results({a, b}),
                    "\"B\" was stopped after 17 s, before its end; run it to its end to compare it");
}

TEST_CASE("on two meshes no wall is judged", "[cases]") {
  const auto a = told_result("A", {{"floor", 1.33}, {"all", 1.0, 0.3}});
  auto b = told_result("B", {{"floor", 0.92}, {"all", 0.8, 0.2}});
  b.manifest["mesh"]["size_at_bond_mm"] = 1.2;
  CHECK(sentences_of(a, b) ==
        Sentences{
            "\"A\" and \"B\" are on different meshes: percentiles and areas at strength of the two are not "
            "comparable.",
            "Both take 1 min 5 s of chair time.", "Both are placed in the same way; they differ in: mesh.",
            "Mesh: elements at the bond 0.44 mm in \"A\" and 1.2 mm in \"B\"."});
}

TEST_CASE("on a mesh too coarse for percentiles no change is told in per cent", "[cases]") {
  auto a = told_result("A", {{"floor", 1.9}, {"all", 1.5, 0.3}}),
       b = told_result("B", {{"floor", 1.2}, {"all", 1.1, 0.28}});
  for (ResultRecord* each : {&a, &b})
    for (ordered_json& row : each->summary["bond"]) row["averaging_points_mean"] = 2.1;
  const std::string text = text_of(a, b);
  CHECK_THAT(
      text,
      Contains(
          "[1] too coarse for percentiles: elements of 0.44 mm, averaging over 0.3 mm holds 2.1 points") &&
          Contains("~1.90 at 1 min 5 s") && !Contains("% lower") && !Contains("no clear difference"));
}
