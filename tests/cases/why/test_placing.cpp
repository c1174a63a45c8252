#include <catch2/catch.hpp>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/run/runner.hpp"
#include "cases/why/placing_report.hpp"
#include "cases/words/wall_numbers.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

/// A mould with a slot in two layers, solved in few steps, so that nothing but round-off is left.
Case mould(const ScratchFolder& folder, const std::string& name, const std::string& more,
           const std::string& wait = "0 s") {
  Case input = read_case(folder.write(name + ".toml", R"([plan]
end = "30 s"
wait = ")" + wait + R"("
[specimen]
kind = "flexing-mould"
slot_width = 2.0
slot_length = 2.0
slot_depth = 2.0
base_thickness = 1.0
wall_thickness = 1.0
[[hold]]
surface = "bottom"
[mesh]
fineness = 1.5
[[plan.light]]
irradiance = 800.0
duration = "10 s"
[[plan.increment]]
layer = "horizontal"
thickness = 1.0
[[plan.increment]]
)" + more));
  input.solver.linear_solver = LinearSolver::direct;
  input.solver.largest_conversion_step = 0.2;
  input.solver.equilibrium_tolerance = input.solver.linear_tolerance = 1e-13;
  return input;
}

std::vector<Placing> placing_of(const Case& first, const Case& second) {
  return PlacingRuns(first, second).solve([](double, int) { return true; });
}

const PlacedWall& wall_of(const Placing& plan, const std::string& name) {
  return *std::ranges::find(plan.walls, name, &PlacedWall::wall);
}

}  // namespace

TEST_CASE("what increments do adds up to the plan's own run, flow and other loads included", "[cases][why]") {
  const ScratchFolder folder;
  const Case plain = mould(folder, "plain", "");
  const Case loaded =
      mould(folder, "loaded",
            "[[pressure]]\nsurface = \"occlusal buccal\"\nvalue = 0.5\n"
            "[materials.override.conventional-paste.flow]\nvitrification = 0.5\nshare = 0.5\n"
            "time_soft = 1.0\ntime_set = 1000.0\n"
            "[bond.stiffness_maturity]\nlaw = \"table\"\npoints = [[0, 0.3], [30, 0.6], [61, 1.0]]\n");
  CHECK(PlacingRuns(plain, loaded).solutions() == 3 + 4);
  const std::vector<Placing> plans = placing_of(plain, loaded);
  REQUIRE(plans[0].shares == std::vector<std::string>{"increment 1", "increment 2"});
  REQUIRE(plans[1].shares.back() == "other loads");
  for (std::size_t p = 0; p < plans.size(); ++p) {
    const Case& input = p == 0 ? plain : loaded;
    CHECK(plans[p].rest < 1e-9);  // of pulls of some MPa: round-off of a direct solver
    const Model model = pose(input);
    const auto summary = solve_case(input, model, [](const Frame&, const HistoryEntry&, const Progress&) {
                           return true;
                         }).summary;
    for (const WallNumbers& wall : wall_numbers(summary, summary.at("mirror_walls"))) {
      CAPTURE(plans[p].plan, wall.wall);
      const PlacedWall& placed = wall_of(plans[p], wall.wall);
      REQUIRE(placed.highest());
      // mirror images are told as the mean of their own highest, which they reach together
      CHECK_THAT(placed.whole_ratio(*placed.highest()), WithinAbs(*wall.highest_mean, 1e-6));
      CHECK(placed.whole_ratio(*placed.highest()) > 0.05);
    }
  }
}

TEST_CASE("an increment does nothing before it sets, and the second one pulls walls it does not lie on",
          "[cases][why]") {
  const ScratchFolder folder;
  const Case input = mould(folder, "two", "");
  const Case waited = mould(folder, "waited", "", "5 min");
  const PlacingRuns runs(input, waited);
  CHECK(runs.solutions() == 3);  // to wait for the first increment changes strength alone
  const std::vector<Placing> plans = runs.solve([](double, int) { return true; });
  const Placing& plan = plans[0];
  REQUIRE(plan.increments.size() == 2);
  CHECK(plan.increments[0].volume == Approx(4).epsilon(1e-6));
  CHECK(plan.increments[1].c_factor);
  CHECK(plan.increments[1].placed > plan.increments[0].placed);
  const PlacedWall& floor = wall_of(plan, "floor");
  CHECK(floor.bonded[0] == Approx(4).epsilon(1e-6));
  CHECK(floor.bonded[1] == 0);
  for (std::size_t i = 0; i < plan.times.size(); ++i)
    if (plan.times[i] <= *plan.increments[1].lit) CHECK_THAT(floor.pull[1][i], WithinAbs(0, 1e-9));
  CHECK(std::abs(floor.pull[1].back()) > 0.01);
  CHECK(plans[1].walls.size() == plan.walls.size());
  CHECK(plans[1].times.back() == Approx(plan.times.back() + 300));
  CHECK(wall_of(plans[1], "floor").pull[1].back() == floor.pull[1].back());
  const std::string told = placing_text(plans);
  CHECK_THAT(told, Contains("C-factor") && Contains("half of its pull by"));
  CHECK(placing_charts(plans).size() == 3);
  CHECK(placing_json(plans).at("plans").at(0).at("walls").size() == plan.walls.size());
}

TEST_CASE("placing in words: whose setting loads a wall, and from where", "[cases][why]") {
  Placing plan{.plan = "layers", .increments = {}, .shares = {}, .times = {10, 70}, .walls = {}};
  plan.increments.resize(2);
  plan.shares = {"increment 1", "increment 2"};
  plan.walls.push_back({.wall = "floor",
                        .words = "floor",
                        .bonded = {4, 0},
                        .is_whole = {1, 1},
                        .pull = {{0, 1}, {0, 3}},
                        .ratio = {{0.1, 0.2}, {0, 0.5}}});
  CHECK(
      placing_sentences({plan}) ==
      std::vector<std::string>{
          "\"layers\", floor: mean ratio of stress to strength highest, 0.70, at 1 min 10 s; of that +0.50 "
          "is "
          "the setting of increment 2, +0.20 is the setting of increment 1. Most of it comes from increment "
          "2, which does not lie on it."});
  plan.walls[0].bonded = {4, 1};
  CHECK_THAT(placing_sentences({plan}).front(), !Contains("does not lie on it"));
  plan.shares = {"increment 1"};
  CHECK_THAT(placing_sentences({plan}).front(), Contains("is one increment"));
}

TEST_CASE("placing is not taken apart where the bond may let go", "[cases][why]") {
  const ScratchFolder folder;
  Case input = mould(folder, "letting-go", "");
  input.solver.mode = Mode::debonding;
  CHECK_THROWS_WITH(PlacingRuns(input, input), Contains("--mode intact"));
}
