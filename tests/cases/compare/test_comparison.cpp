// The sentences must follow the numbers, whichever way they point.

#include <catch2/catch.hpp>

#include "cases/compare/comparison.hpp"
#include "cases/reader/toml_reader.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using nlohmann::ordered_json;

namespace {

struct Wall {
  std::string name;
  double ratio, debonded = 0, gap = 0;
};

ordered_json summary(const std::string& name, const std::vector<Wall>& walls, double chair_time,
                     const std::string& mode = "intact") {
  ordered_json bond = ordered_json::array();
  for (const Wall& w : walls)
    bond.push_back(
        {{"wall", w.name},
         {"substrate", "all"},
         {"area_mm2", 10.0},
         {"worst",
          {{"time_s", 65.0},
           {"stress_to_strength_p95", w.ratio},
           {"area_fraction_above_1", w.ratio > 1 ? 0.3 : 0.0}}},
         {"end", {{"debonded_fraction", w.debonded}, {"largest_gap_um", w.gap}, {"gap_volume_mm3", 0.0}}}});
  return {{"case", name},
          {"title", name},
          {"mode", mode},
          {"invented", true},
          {"composites", {"flowable"}},
          {"chair_time_s", chair_time},
          {"bond", bond},
          {"cusp_deflection", nullptr}};
}

std::string text_of(const ordered_json& a, const ordered_json& b) {
  return comparison_text(compare_summaries({a, b}));
}

}  // namespace

TEST_CASE("the wall that differs most is named with both values and the direction", "[cases]") {
  const auto a = summary("A", {{"floor", 1.9}, {"axial", 0.8}, {"all", 1.5}}, 65);
  const auto b = summary("B", {{"floor", 1.2}, {"axial", 0.9}, {"all", 1.1}}, 365);
  CHECK_THAT(text_of(a, b), Contains("The floor differs most") && Contains("37 % lower") &&
                                Contains("axial wall goes the other way") &&
                                Contains("takes 5 min more chair time"));
  CHECK_THAT(text_of(b, a), Contains("The floor differs most") && Contains("58 % higher") &&
                                Contains("takes 5 min less chair time"));
}

TEST_CASE("a small difference is not called one", "[cases]") {
  const auto a = summary("A", {{"floor", 1.00}, {"all", 0.9}}, 65);
  const auto b = summary("B", {{"floor", 1.04}, {"all", 0.9}}, 65);
  CHECK_THAT(text_of(a, b), Contains("No clear difference") && Contains("Both take 1 min 5 s"));
}

TEST_CASE("with debonding, the area that let go decides", "[cases]") {
  const auto a = summary("A", {{"floor", 1.0, 0.8, 6.0}, {"all", 1.0, 0.3}}, 65, "debonding");
  const auto b = summary("B", {{"floor", 1.0, 0.1, 1.5}, {"all", 1.0, 0.1}}, 365, "debonding");
  CHECK_THAT(text_of(a, b), Contains("80 % of it has let go") && Contains("10 % in \"B\""));
}

TEST_CASE("plans that differ in material are said to", "[cases]") {
  const auto a = summary("A", {{"floor", 1.9}, {"all", 1.5}}, 65);
  auto b = summary("B", {{"floor", 1.2}, {"all", 1.1}}, 65);
  CHECK_THAT(text_of(a, b), !Contains("differ in material"));
  b["composites"] = {"conventional-paste", "flowable"};
  CHECK_THAT(text_of(a, b),
             Contains("differ in material") && Contains("conventional-paste and flowable in \"B\""));
}

TEST_CASE("intact and debonding runs are not compared", "[cases]") {
  const auto a = summary("A", {{"all", 1.0}}, 65), b = summary("B", {{"all", 1.0}}, 65, "debonding");
  CHECK_THROWS_AS(compare_summaries({a, b}), CaseError);
}
