#include <catch2/catch.hpp>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;

TEST_CASE("setstress wait answers with a wait, the curve under every law, and files") {
  const ScratchFolder folder;
  const Ended ended = run_program(
      "wait butt-joint --fineness coarse --wall lower --of stress-to-strength --below 1 --longest \"4 min\" "
      "--within \"30 s\" --points 3 --out answer",
      folder.path());
  INFO(ended.output);
  REQUIRE(ended.code == 0);
  CHECK_THAT(ended.output, Catch::Contains("of the case (chairside-rule)") &&
                               Catch::Contains("ten-minute-pair") && Catch::Contains("mature-at-once") &&
                               Catch::Contains("not a medical device"));
  const nlohmann::json answer = json_of(folder / "answer" / "waits.json");
  REQUIRE(answer.at("plans").size() == 1);
  const nlohmann::json& plan = answer["plans"][0];
  REQUIRE(plan.at("laws").size() == 3);
  for (const nlohmann::json& law : plan["laws"]) {
    const nlohmann::json& curve = law.at("curve");
    REQUIRE(curve.size() >= 3);
    CHECK(curve.front().at("wait_s") == 0);
    CHECK(curve.back().at("wait_s") == 240);
    // Chair time: 20 s to place, 5 s, 40 s of light, and the wait.
    for (const nlohmann::json& point : curve)
      CHECK(point.at("chair_time_s").get<double>() == Approx(65 + point.at("wait_s").get<double>()));
    if (law.at("shortest_wait_s").is_null())
      for (const nlohmann::json& point : curve) CHECK(point.at("value").get<double>() >= 1);
    else
      CHECK(law.at("value_at_shortest").get<double>() < 1);
  }
  CHECK_THAT(content(folder / "answer" / "waits.csv"),
             Catch::StartsWith("case,law,wait_s,chair_time_s,stress_to_strength\n"));
  CHECK_THAT(content(folder / "answer" / "butt-joint.svg"),
             Catch::Contains("<svg") && Catch::Contains("mature-at-once"));
}

TEST_CASE("setstress wait refuses what has no answer, in a sentence and with exit code 2") {
  const ScratchFolder folder;
  const auto refused = [&](const std::string& words, const std::string& sentence) {
    const Ended ended = run_program("wait " + words, folder.path());
    INFO(words << ": " << ended.output);
    CHECK(ended.code == 2);
    CHECK_THAT(ended.output, Catch::Contains(sentence));
  };
  refused("butt-joint --wall lower --of stress", "--of is \"stress\"; must be one of: area-over-strength");
  refused("butt-joint --wall lower --longest soon", "--longest is the text \"soon\"");
  refused("butt-joint --wall lower --below 130", "--below is 130");
  refused("butt-joint butt-joint --wall lower", "is there twice");
  refused("butt-joint --wall lower --of largest-gap", "--below is missing");
  refused("butt-joint --wall lower --law linear", "--law is \"linear\"");
  CHECK(std::filesystem::is_empty(folder.path()));
}
