// Where the bond may let go, the ratio stays at 1: what is compared instead, in which order.

#include <catch2/catch.hpp>

#include "tests/cases/compare/told_results.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

ResultRecord debonding(const std::string& name, const Wall& floor, const Wall& all = {"all", 1.0}) {
  return told_result(name, {floor, all}, 65, "debonding");
}

}  // namespace

TEST_CASE("with debonding, the area that let go decides", "[cases]") {
  const auto a =
      debonding("A", {.name = "floor", .ratio = 1, .debonded = 0.8, .softened = 0.9, .largest_gap = 6},
                {.name = "all", .debonded = 0.3});
  const auto b =
      debonding("B", {.name = "floor", .ratio = 1, .debonded = 0.1, .softened = 0.9, .largest_gap = 1.5},
                {.name = "all", .debonded = 0.1});
  const auto sentences = sentences_of(a, b);
  CHECK(sentences[0] ==
        "The floor differs most: at the end 80 % of it has let go in \"A\" (largest gap 6.0 um) "
        "and 10 % in \"B\" (1.5 um).");
  CHECK(sentences[1] == "Of the whole bond, 30 % has let go at the end in \"A\" and 10 % in \"B\".");
}

TEST_CASE("where as much lets go, softening, then strength lost, then the gap decides", "[cases]") {
  Wall a{.name = "floor", .ratio = 1, .debonded = 0.02, .softened = 0.60, .lost = 0.4, .gap_volume = 0.020};
  Wall b{.name = "floor", .ratio = 1, .debonded = 0.04, .softened = 0.06, .lost = 0.1, .gap_volume = 0.010};
  CHECK(sentences_of(debonding("A", a), debonding("B", b))[0] ==
        "The floor differs most: at the end 60 % of it has begun to lose strength in \"A\" and 6 % in \"B\", "
        "while "
        "about as much has let go.");
  b.softened = 0.58;
  CHECK(
      sentences_of(debonding("A", a), debonding("B", b))[0] ==
      "The floor differs most: at the end it has lost 40 % of its strength in \"A\" and 10 % in \"B\", while "
      "about as much has begun to.");
  b.lost = 0.39;
  CHECK(sentences_of(debonding("A", a), debonding("B", b))[0] ==
        "The floor differs most: at the end its gap holds 0.020 mm3 in \"A\" and 0.010 mm3 in \"B\", while "
        "about as "
        "much has let go.");
  b.gap_volume = 0.0201;
  const std::string alike = sentences_of(debonding("A", a), debonding("B", b))[0];
  CHECK_THAT(alike, Contains("No clear difference") && !Contains("1.00"));
}

TEST_CASE("where nothing begins to let go, the load decides", "[cases]") {
  const auto sentences = sentences_of(debonding("A", {.name = "floor", .ratio = 0.9}),
                                      debonding("B", {.name = "floor", .ratio = 0.5}));
  CHECK_THAT(sentences[0],
             Contains("Nothing lets go or begins to in \"A\" or \"B\".") && Contains("44 % lower"));
}

TEST_CASE("walls that are mirror images are judged together, by area", "[cases]") {
  const auto letting_go = [](const std::string& name, double buccal, double lingual) {
    auto result =
        told_result(name,
                    {{.name = "buccal", .ratio = 1, .debonded = buccal, .softened = buccal, .area = 10},
                     {.name = "lingual", .ratio = 1, .debonded = lingual, .softened = lingual, .area = 30},
                     {.name = "all", .debonded = (buccal + 3 * lingual) / 4}},
                    65, "debonding");
    result.summary["mirror_walls"] = std::vector<std::vector<std::string>>{{"buccal", "lingual"}};
    return result;
  };
  const auto mirrored = sentences_of(letting_go("A", 1.0, 0.04), letting_go("B", 0.13, 0.33));
  CHECK_THAT(mirrored[0],
             Contains("No clear difference") && !Contains("buccal wall") && !Contains("lingual wall"));
  const auto more = sentences_of(letting_go("A", 1.0, 0.04), letting_go("B", 0.4, 1.0));
  CHECK(more[0] ==
        "The buccal and lingual walls (mirror images, judged together) differ most: at the end 28 % of "
        "them has let go in \"A\" (largest gap 0.0 um) and 85 % in \"B\" (0.0 um).");
  CHECK_THAT(comparison_text(compare_results({letting_go("A", 1, 0), letting_go("B", 0, 1)})),
             Contains("buccal and lingual walls, mirror images: which of the two lets go more is chance of "
                      "the mesh, and of "
                      "weak spots where strength varies\n"));
}
