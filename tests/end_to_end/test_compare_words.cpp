// Pairs of which the truth is known: compare must say it, and nothing more.

#include <csignal>

#include <catch2/catch.hpp>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;
using Sentences = std::vector<std::string>;

namespace compare_words {
namespace {

/// A small mould of two walls, mirror images, filled at once or in two layers.
const std::string small_mould = R"([case]
title = "Small mould"
[specimen]
kind = "flexing-mould"
slot_width = 2.0
slot_length = 2.0
slot_depth = 2.0
wall_thickness = 1.0
base_thickness = 1.0
[materials]
filling = "flowable"
[[hold]]
surface = "bottom"
[mesh]
fineness = 0.6
[plan]
end = "1 min"
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
from = "occlusal"
[[plan.increment]]
placing_time = "5 s"
)";

std::string changed(const std::string& before, const std::string& after) {
  std::string text = small_mould;
  return text.replace(text.find(before), before.size(), after);
}

/// The comparison of "a.toml" and "b.toml".
nlohmann::json comparison(const ScratchFolder& folder, const std::string& a, const std::string& b) {
  folder.write("a.toml", a);
  folder.write("b.toml", b);
  const Ended ended = run_program("compare a.toml b.toml --quiet --out both", folder.path());
  INFO(ended.output);
  REQUIRE(ended.code == 0);
  return json_of(folder.path() / "both/comparison.json");
}

Sentences words_of(const nlohmann::json& comparison) {
  return comparison.at("pairs").at(0).at("sentences").get<Sentences>();
}

/// Without the sentences on wall and bond, which depend on numbers.
Sentences rest_of(const nlohmann::json& comparison, std::size_t from) {
  const Sentences all = words_of(comparison);
  return {all.begin() + static_cast<std::ptrdiff_t>(from), all.end()};
}

}  // namespace

TEST_CASE("the same plan twice: no difference in load, bond, time or input", "[end to end]") {
  const ScratchFolder folder;
  const Sentences words = words_of(comparison(folder, small_mould, small_mould));
  REQUIRE(words.size() >= 3);
  CHECK(words[words.size() - 2] == "Both take 30 s of chair time.");
  CHECK(words.back() == "They differ in nothing: all inputs are the same.");
  for (const std::string& sentence : words)
    CHECK_THAT(sentence, !Contains("differs most") && !Contains("lower"));
}

TEST_CASE(
    "a mirrored light: one wall goes one way, its mirror image the other, and light is all that differs",
    "[end to end]") {
  const ScratchFolder folder;
  const auto both = comparison(folder, changed("from = \"occlusal\"", "from = \"buccal\""),
                               changed("from = \"occlusal\"", "from = \"lingual\""));
  const Sentences words = words_of(both);
  CHECK(words.back() == "Light: from buccal in \"a\" and lingual in \"b\".");
  CHECK(words[words.size() - 2] == "Both are placed in the same way; they differ in: light.");
  CHECK(both.at("mirror_walls").empty());  // lit from one side, the walls are no mirror images
  const auto& a = both.at("results").at(0).at("bond");
  const auto& b = both.at("results").at(1).at("bond");
  const auto ratio = [](const auto& wall) {
    return wall.at("highest_p95").at("stress_to_strength_p95").template get<double>();
  };
  // The mesh is no mirror image of itself, and this one is coarse.
  CHECK(ratio(a.at("buccal")) == Approx(ratio(b.at("lingual"))).epsilon(0.3));
}

TEST_CASE("only the light differs, only an override differs: that alone is named", "[end to end]") {
  const ScratchFolder folder;
  const auto light = comparison(folder, small_mould, changed("\"20 s\"", "\"10 s\""));
  const Sentences lit = words_of(light);
  CHECK(lit.back() == "Light: duration 20 s in \"a\" and 10 s in \"b\".");
  CHECK(lit[lit.size() - 2] == "Both are placed in the same way; they differ in: light.");
  const auto stiffness =
      comparison(folder, small_mould,
                 changed("[mesh]", "[materials.override.flowable]\nvolumetric_shrinkage = 0.02\n[mesh]"));
  const Sentences softer = words_of(stiffness);
  CHECK(softer[softer.size() - 2] == "Both are placed in the same way; they differ in: material values.");
  CHECK_THAT(softer.back(),
             Contains("Material values: flowable volumetric shrinkage") && Contains("0.02 in \"b\"."));
  CHECK(stiffness.at("mirror_walls") ==
        nlohmann::json::array({nlohmann::json::array({"buccal", "lingual"})}));
}

TEST_CASE("a wall that was filled by halves is judged whole, and what a half bore is told apart",
          "[end to end]") {
  const ScratchFolder folder;
  const auto both =
      comparison(folder, small_mould,
                 changed("[[plan.increment]]",
                         "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 1.0\n[[plan.increment]]"));
  CHECK(words_of(both).back() == "They differ in nothing but the plan.");
  const auto& walls = both.at("results").at(1).at("bond").at("buccal and lingual");
  CHECK(walls.at("highest_p95").at("placed_area_mm2") == walls.at("area_mm2"));
  CHECK(walls.at("highest_p95").at("time_s").get<double>() > 30);  // the second layer's light is on later
}

TEST_CASE("coarse against fine: the mesh is said first, and no wall is judged", "[end to end]") {
  const ScratchFolder folder;
  const auto both = comparison(folder, small_mould, changed("fineness = 0.6", "fineness = 0.45"));
  const Sentences words = words_of(both);
  CHECK(words.front() ==
        "\"a\" and \"b\" are on different meshes: percentiles and areas at strength of the two are not "
        "comparable.");
  for (const std::string& sentence : words)
    CHECK_THAT(sentence, !Contains("lower") && !Contains("higher") && !Contains("differs most"));
  CHECK(rest_of(both, 1).front() == "Both take 30 s of chair time.");
}

TEST_CASE("a run that was stopped is not compared", "[end to end]") {
  const ScratchFolder folder;
  folder.write("a.toml", small_mould);
  REQUIRE(run_program("run a.toml --quiet --out whole", folder.path()).code == 0);
  const pid_t program = start_program(
      {"run", "deep-box-oblique", "--fineness", "coarse", "--quiet", "--out", "stopped"}, folder.path());
  wait_for(folder.path() / "stopped.part/frames.pvd");
  kill(program, SIGINT);
  REQUIRE(exit_code(program) == 1);
  const Ended ended = run_program("compare whole stopped --out both", folder.path());
  CHECK(ended.code == 2);
  CHECK_THAT(ended.output, Contains("was stopped after") && Contains("before its end"));
  CHECK(!std::filesystem::exists(folder.path() / "both"));
}

}  // namespace compare_words
