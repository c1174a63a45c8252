#include "cases/desk/toml_edit.hpp"

#include <catch2/catch.hpp>

#include "cases/reader/case_error.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

const std::string plan_text = R"(# My plan: µ is two bytes
base = "deep-box-bulk"   # from there

[preparation]
width = 4.0              # measured
  depth = 5.4

[plan]
wait = "5 min"           # the bond matures

[[plan.increment]]       # the first
layer = "horizontal"
thickness = 2.0

[[plan.increment.light]]
irradiance = 1000.0
duration = "40 s"

[[plan.increment]]       # the rest
material = "flowable"
light = []
)";

constexpr const char* increments = "plan.increment";

std::string replaced(std::string text, const std::string& before, const std::string& after) {
  return text.replace(text.find(before), before.size(), after);
}

}  // namespace

TEST_CASE("a value of a case file is changed and nothing else") {
  CHECK(with_value(plan_text, "preparation.depth", 4) == replaced(plan_text, "5.4", "4.0"));
  CHECK(with_value(plan_text, "plan.wait", "90 s") == replaced(plan_text, "\"5 min\"", "\"90 s\""));
  CHECK(with_value(plan_text, "plan.increment[1].light[1].duration", 20) ==
        replaced(plan_text, "\"40 s\"", "20.0"));
  CHECK(with_value(plan_text, "preparation.depth", nullptr) == replaced(plan_text, "  depth = 5.4\n", ""));
  CHECK(with_value(plan_text, "preparation.taper", nullptr) == plan_text);
  CHECK(with_value(replaced(plan_text, "from there", "µµ"), "base", "deep-box-layers") ==
        replaced(replaced(plan_text, "from there", "µµ"), "deep-box-bulk", "deep-box-layers"));
}

TEST_CASE("a value that a case file lacks goes below its heading") {
  CHECK(with_value(plan_text, "preparation.taper", 3.5) ==
        replaced(plan_text, "depth = 5.4\n", "depth = 5.4\ntaper = 3.5\n"));
  CHECK(with_value(plan_text, "plan.increment[1].wait", 60) ==
        replaced(plan_text, "thickness = 2.0\n", "thickness = 2.0\nwait = 60.0\n"));
  CHECK(with_value(plan_text, "tooth.length", 9) == plan_text + "\n[tooth]\nlength = 9.0\n");
  CHECK(with_value("[case]\ntitle = \"x\"", "case.invented", true) ==
        "[case]\ntitle = \"x\"\ninvented = true\n");
}

TEST_CASE("a table goes with all below it and nothing else") {
  const std::string own =
      "[materials.override.paste]\nvolumetric_shrinkage = 0.03\n\n[materials.override.paste.light]\n"
      "attenuation = 1.0  # measured\n\n";
  const std::string other = "[materials.override.paste-two]\nvolumetric_shrinkage = 0.02\n\n";
  const std::string with_own = replaced(plan_text, "[plan]", own + other + "[plan]");
  CHECK(with_value(with_own, "materials.override.paste", nullptr) ==
        replaced(plan_text, "[plan]", other + "[plan]"));
  CHECK(with_value(with_own, "materials.override.paste.light.attenuation", nullptr) ==
        replaced(with_own, "attenuation = 1.0  # measured\n", ""));
  CHECK(with_value(plan_text, "materials.override.paste.light.attenuation", 0.9) ==
        plan_text + "\n[materials.override.paste.light]\nattenuation = 0.9\n");
}

TEST_CASE("a light of its own is written in one line, changed in it and taken away with it") {
  const auto light = nlohmann::ordered_json::parse(R"([{"irradiance": 1000, "duration": 20}])");
  const std::string given =
      with_value(replaced(plan_text, "light = []\n", ""), "plan.increment[2].light", light);
  CHECK_THAT(given, Contains("light = [{irradiance = 1000.0, duration = 20.0}]\n"));
  const char* curve = "plan.increment[2].light[1].distance_curve";
  const std::string lossy = with_value(given, curve, "poor-collimation");
  CHECK_THAT(lossy, Contains("duration = 20.0, distance_curve = \"poor-collimation\"}]\n"));
  CHECK(with_value(lossy, curve, nullptr) == given);
  CHECK_THAT(with_value(given, "plan.increment[2].light[1].irradiance", nullptr),
             Contains("[{duration = 20.0}]"));
  CHECK(with_value(given, "plan.increment[2].light", nullptr) == replaced(plan_text, "light = []\n", ""));
}

TEST_CASE("increments are copied, taken away and exchanged with their lines") {
  const std::string copied = with_copied(plan_text, increments, 1);
  CHECK(copied.size() > plan_text.size() + 100);
  CHECK(with_removed(copied, increments, 2).size() <= plan_text.size() + 1);
  const std::string without = with_removed(plan_text, increments, 1);
  CHECK_THAT(without, !Contains("# the first") && Contains("# the rest") && Contains("µ is two bytes"));
  const std::string moved = with_moved(plan_text, increments, 2);
  CHECK(moved.find("# the rest") < moved.find("# the first"));
  CHECK(with_moved(moved, increments, 2).find("# the first") < moved.find("# the first"));
  CHECK_THROWS_AS(with_moved(plan_text, increments, 1), CaseError);
  CHECK_THROWS_AS(with_removed(without, increments, 1), CaseError);
  CHECK_THROWS_AS(with_copied(plan_text, increments, 3), CaseError);
}

TEST_CASE("exposures are copied and taken away, below headings and within a line") {
  const char* own = "plan.increment[1].light";
  const std::string twice = with_copied(plan_text, own, 1);
  CHECK(twice.find("[[plan.increment.light]]") < twice.find("# the rest"));
  CHECK(twice.rfind("[[plan.increment.light]]") < twice.find("# the rest"));
  CHECK(with_value(twice, "plan.increment[1].light[2].duration", 5).find("duration = 5.0") >
        twice.find("\"40 s\""));
  CHECK_THAT(with_removed(with_value(twice, "plan.increment[1].light[2].duration", 5), own, 1),
             Contains("duration = 5.0") && !Contains("\"40 s\"") && Contains("# the rest"));
  CHECK_THROWS_WITH(with_removed(plan_text, own, 1), Contains("has one entry"));
  const std::string line = "[plan]\nlight = [{duration = 20.0},  # first\n  {duration = 5.0}]\n";
  CHECK(with_copied(line, "plan.light", 2) ==
        "[plan]\nlight = [{duration = 20.0},  # first\n  {duration = 5.0}, {duration = 5.0}]\n");
  CHECK(with_removed(line, "plan.light", 2) == "[plan]\nlight = [{duration = 20.0},  # first\n  ]\n");
  CHECK(has_list(plan_text, own));
  CHECK_FALSE(has_list(plan_text, "plan.light"));
  CHECK_FALSE(has_list(plan_text, "plan.increment[2].light"));
}

TEST_CASE("what cannot be changed by lines is refused") {
  CHECK_THROWS_WITH(with_value("plan.light = [{duration = 5.0}]\n", "plan.light[3].duration", 3),
                    Contains("written in a way in this file that the desk does not change"));
  CHECK_THROWS_AS(with_copied("plan.increment = [1]\n", increments, 1), CaseError);
  CHECK_THROWS_AS(with_value(plan_text, "preparation", 1), CaseError);
  CHECK_THROWS_AS(with_value(plan_text, "preparation.a b", 1), CaseError);
  CHECK_THROWS_AS(with_value(plan_text, "", 1), CaseError);
  CHECK_THROWS_AS(with_value("[a\n", "a.b", 1), CaseError);
}
