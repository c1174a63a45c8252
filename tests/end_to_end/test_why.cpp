// compare --why through the program: what is written, what is refused, and Ctrl-C.

#include <csignal>

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace why {
namespace {

const std::string small_joint = R"([specimen]
kind = "butt-joint"
adherend_height = 0.5
[[hold]]
surface = "bottom"
[[hold]]
surface = "top"
[mesh]
fineness = 0.5
[plan]
end = "20 s"
[[plan.light]]
irradiance = 600.0
duration = "10 s"
)";

void write_pair(const ScratchFolder& folder) {
  folder.write("bulk.toml", small_joint + "[[plan.increment]]\n");
  folder.write("layers.toml", small_joint +
                                  "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 0.5\n"
                                  "[[plan.increment]]\nwait = \"30 s\"\n");
}

}  // namespace

TEST_CASE("why: parts of every wall add up to the difference that compare tells, increments to a plan",
          "[end to end]") {
  const ScratchFolder folder;
  write_pair(folder);
  const Ended ended = run_program("compare bulk.toml layers.toml --why placing --out both", folder.path());
  INFO(ended.output);
  REQUIRE(ended.code == 0);
  CHECK_THAT(ended.output, Contains("placing: 2 solutions to make") && Contains("half of its pull by") &&
                               Contains("the setting of increment 2"));
  CHECK(json_of(folder.path() / "both/placing.json").at("plans").at(1).at("increments").size() == 2);
  CHECK_THAT(content(folder.path() / "both/placing.svg"), Contains("increment 2") && Contains("education"));
  if (std::filesystem::exists(folder.path() / "both/page.html"))
    CHECK_THAT(content(folder.path() / "both/page.html"),
               Contains("Placing: which increment loads which wall"));
  CHECK_THAT(ended.output,
             Contains("why: 2 solutions to make, about") && Contains("light, depth") &&
                 Contains("taken apart (2 more solutions, with those compared, served 8 different runs)"));
  const auto why = json_of(folder.path() / "both/why.json");
  const auto results = json_of(folder.path() / "both/comparison.json").at("results");
  int walls = 0;
  for (const auto& wall : why.at("measures").at(0).at("walls")) {
    ++walls;
    double sum = wall.at("placing");
    for (const auto& part : wall.at("causes")) sum += part.get<double>();
    CHECK(sum == Approx(wall.at("difference").get<double>()).margin(1e-12));
    const auto told = [&](std::size_t result) {
      const auto& bond = results.at(result).at("bond").at(wall.at("wall").get<std::string>());
      return bond.at("highest_p95").at("stress_to_strength_p95").get<double>();
    };
    CHECK(wall.at("first").get<double>() == told(0));
    CHECK(wall.at("second").get<double>() == told(1));
  }
  CHECK(walls >= 2);
  CHECK_THAT(content(folder.path() / "both/why.svg"), Contains("light, depth") && Contains("education"));
}

TEST_CASE("why: result folders, and more than two cases are refused in a sentence", "[end to end]") {
  const ScratchFolder folder;
  write_pair(folder);
  REQUIRE(run_program("run bulk.toml --quiet --out ran", folder.path()).code == 0);
  const Ended done = run_program("compare ran layers.toml --why --out both", folder.path());
  CHECK(done.code == 2);
  CHECK_THAT(done.output, Contains("ran is a folder of results; give the case that it came from"));
  const Ended three = run_program("compare bulk.toml layers.toml bulk.toml --why --out both", folder.path());
  CHECK(three.code == 2);
  CHECK_THAT(three.output, Contains("take two cases, not 3"));
  const Ended let_go =
      run_program("compare bulk.toml layers.toml --why placing --mode debonding --out both", folder.path());
  CHECK(let_go.code == 2);
  CHECK_THAT(let_go.output, Contains("--why placing needs --mode intact"));
  CHECK(!std::filesystem::exists(folder.path() / "both"));
}

TEST_CASE("why: Ctrl-C leaves a whole comparison without it", "[end to end]") {
  const ScratchFolder folder;
  const pid_t program = start_program(
      {"compare", "deep-box-bulk", "deep-box-layers", "--fineness", "coarse", "--why", "--out", "both"},
      folder.path());
  wait_for(folder.path() / "both.part/deep-box-layers/summary.json");
  kill(program, SIGINT);
  CHECK(exit_code(program) == 1);
  CHECK_THAT(content(folder.path() / "log"), Contains("compared, but not taken apart"));
  CHECK(std::filesystem::exists(folder.path() / "both/comparison.json"));
  CHECK(!std::filesystem::exists(folder.path() / "both/why.json"));
}

TEST_CASE("odds: files, sentences and a second go that takes over the draws made", "[end to end]") {
  const ScratchFolder folder;
  write_pair(folder);
  const std::string command = "compare bulk.toml layers.toml --odds-fineness 0.5 --out both --odds ";
  const Ended first = run_program(command + "3", folder.path());
  INFO(first.output);
  REQUIRE(first.code == 0);
  CHECK_THAT(first.output, Contains("3 draws of") && Contains("6 solutions to make, about ") &&
                               Contains("by the time that the plans just solved took") &&
                               Contains("second lower") &&
                               Contains("Fewer than 16 draws do not tell which inputs decide"));
  const auto odds = json_of(folder.path() / "both/odds.json");
  CHECK(odds.at("draws_with_numbers") == 3);
  CHECK(odds.at("inputs").size() > 8);
  CHECK_THAT(content(folder.path() / "both/odds.csv"), Contains("lamp output"));
  CHECK_THAT(content(folder.path() / "both/odds.svg"), Contains("education"));
  const std::string drawn = content(folder.path() / "both/odds.csv");
  const Ended second = run_program(command + "4 --brief", folder.path());
  REQUIRE(second.code == 0);
  CHECK_THAT(second.output, Contains("3 of them there already") && Contains("What differs") &&
                                Contains("How sure\n  Both plans under the same 4 draws"));
  const auto more = json_of(folder.path() / "both/odds.json");
  CHECK(more.at("draws_with_numbers") == 4);
  CHECK(content(folder.path() / "both/odds.csv").starts_with(drawn));
  CHECK(std::filesystem::exists(folder.path() / "both/odds.sqlite"));
  CHECK(!std::filesystem::exists(folder.path() / "both.odds.sqlite"));
}

TEST_CASE("odds: a number of draws that is none is refused", "[end to end]") {
  const ScratchFolder folder;
  write_pair(folder);
  for (const char* wrong : {"--odds many", "--odds 1", "--odds 1.5"}) {
    const Ended ended = run_program(std::string("compare bulk.toml layers.toml ") + wrong, folder.path());
    CHECK(ended.code == 2);
    CHECK_THAT(ended.output, Contains("must be a number of draws, 2 to 100000"));
  }
}

TEST_CASE("odds: neither a kill nor Ctrl-C loses a draw that was made", "[end to end]") {
  const ScratchFolder folder;
  write_pair(folder);
  const auto stopped_by = [&](int signal) {
    std::filesystem::remove(folder.path() / "log");
    const pid_t program = start_program({"compare", "bulk.toml", "layers.toml", "--odds", "5000",
                                         "--odds-fineness", "0.5", "--brief", "--out", "both"},
                                        folder.path());
    wait_for_words(folder.path() / "log", "s a draw, ");  // one has been made
    kill(program, signal);
    return exit_code(program);
  };
  CHECK(stopped_by(SIGKILL) != 0);
  CHECK(std::filesystem::exists(folder.path() / "both.odds.sqlite"));
  CHECK(stopped_by(SIGINT) == 1);
  CHECK_THAT(content(folder.path() / "log"),
             Contains("of them there already") && Contains("of 5000 draws, which were kept"));
  CHECK(!std::filesystem::exists(folder.path() / "both.odds.sqlite"));
  const auto odds = json_of(folder.path() / "both/odds.json");
  CHECK(odds.at("draws_made") >= 1);
  CHECK(odds.at("draws_asked") == 5000);
}

}  // namespace why
