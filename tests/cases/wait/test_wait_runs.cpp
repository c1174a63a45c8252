#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/result/history.hpp"
#include "cases/wait/shifted_plan.hpp"
#include "cases/wait/wait_curve.hpp"
#include "cases/wait/wait_runs.hpp"
#include "solver/run/simulate.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

/// Composite between two blocks whose ends are held, placed after `wait` [s]; invented, and as small as it
/// can be.
Case small_joint(const ScratchFolder& folder, double wait, const std::string& law = "chairside-rule",
                 const std::string& mode = "intact", const std::string& more = "") {
  Case input = read_case(folder.write("joint.toml", fmt::format(R"([specimen]
kind = "butt-joint"
length = 1.0
width = 1.0
height = 1.0
adherend_height = 1.0
[mesh]
fineness = 0.5
[solver]
mode = "{}"
largest_conversion_step = 0.2
linear_solver = "direct"
[bond.strength_maturity]
law = "{}"
[bond.stiffness_maturity]
law = "chairside-rule"
[[hold]]
surface = "bottom"
[[hold]]
surface = "top"
[plan]
end = "1 min"
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
[[plan.increment]]
wait = {}
placing_time = "10 s"
{})",
                                                                mode, law, wait, more)));
  input.solver.threads = 1;  // as small as this, more are slower
  return input;
}

/// Largest value over the whole run of a case as a user would run it.
double solved_by_itself(const Case& input, const WallLimit& limit) {
  const Model model = pose(input);
  const WallReport report(model.mesh, model.substrates);
  double largest = 0;
  simulate(model, input.solver, [&](const Frame& frame, const Progress&) {
    for (const WallRow& row : report.of(frame))
      if (wall_name(row) == limit.wall && substrate_name(row) == limit.substrate)
        largest = std::max(largest, value_of(row, limit.quantity));
    return true;
  });
  return largest;
}

const WallLimit ratio_limit{WallQuantity::stress_to_strength, "lower", "all", 1.0};
bool go_on(double, double) {
  return true;
}

}  // namespace

TEST_CASE("A plan with another wait is the plan of the case file that says so", "[wait]") {
  const ScratchFolder folder;
  const auto layered = [&](double first, double second, const std::string& rest) {
    return read_case(folder.write(
        "layered.toml",
        fmt::format(R"(base = "{}"
[plan]
end = "3 min"
frames = [20.0, 400.0]
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
[[plan.light]]
irradiance = 800.0
duration = "10 s"
from = "buccal"
[[plan.increment]]
layer = "horizontal"
thickness = 0.5
wait = {}
[[plan.increment]]
layer = "horizontal"
thickness = 1.5
repeat = true
wait = {}
{})",
                    (data_folder() / "cases/ready/deep-box-bulk.toml").string(), first, second, rest)));
  };
  const int entry = GENERATE(1, 2);
  const Case written = layered(30, 60, "");
  REQUIRE(written.plan.timeline.placements.size() == 5);  // one, and four of the repeated layer
  CHECK(wait_before(written, entry) == (entry == 1 ? 30 : 60));
  for (const double wait : {5.0, 30.0, 333.0}) {
    const Plan moved = with_wait(written, entry, wait);
    const Plan expected = (entry == 1 ? layered(wait, 60, "") : layered(30, wait, "")).plan;
    REQUIRE(moved.timeline.placements.size() == expected.timeline.placements.size());
    for (std::size_t i = 0; i < expected.timeline.placements.size(); ++i)
      CHECK(moved.timeline.placements[i].time == Approx(expected.timeline.placements[i].time));
    REQUIRE(moved.timeline.exposures.size() == expected.timeline.exposures.size());
    for (std::size_t i = 0; i < expected.timeline.exposures.size(); ++i) {
      CHECK(moved.timeline.exposures[i].start == Approx(expected.timeline.exposures[i].start));
      CHECK(moved.timeline.exposures[i].irradiance == expected.timeline.exposures[i].irradiance);
    }
    CHECK(moved.timeline.end == Approx(expected.timeline.end));
    CHECK(moved.chair_time == Approx(expected.chair_time));
    CHECK(moved.timeline.extra_frames == expected.timeline.extra_frames);
  }
  CHECK_THROWS_WITH(wait_before(written, 3), Catch::Contains("2 [[plan.increment]]"));
  CHECK_THROWS_WITH(wait_before(written, 0), Catch::Contains("number 0"));
}

TEST_CASE("An increment at a fixed instant cannot be moved by a wait before it", "[wait]") {
  const ScratchFolder folder;
  const Case fixed = read_case(
      folder.write("fixed.toml", fmt::format(R"(base = "{}"
[[plan.increment]]
layer = "horizontal"
thickness = 0.5
[[plan.increment]]
placed_at = "10 min"
)",
                                             (data_folder() / "cases/ready/deep-box-bulk.toml").string())));
  CHECK_THROWS_WITH(wait_before(fixed, 1), Catch::Contains("placed_at") && Catch::Contains("fixed.toml"));
}

TEST_CASE("The wait found is that of a brute-force sweep of case files", "[wait][verification]") {
  const ScratchFolder folder;
  const Case written = small_joint(folder, 45);
  WallLimit limit = ratio_limit;
  limit.limit = 0.5 * (solved_by_itself(small_joint(folder, 60), limit) +
                       solved_by_itself(small_joint(folder, 70), limit));
  WaitRuns runs(written, limit, 1, maturity_choices(written, {"of-the-case"}), go_on);
  const WaitRange range{.longest = 300, .within = 4, .points = 5};
  const WaitCurve curve = trace_waits([&](double wait) { return runs.value(wait, 0); }, limit.limit, range);

  // Every wait the search tried gives the same bits as the case file with that wait in it.
  for (const WaitPoint& point : curve.points)
    CHECK(point.value == solved_by_itself(small_joint(folder, point.wait), limit));
  // The sweep: every tenth second.
  std::optional<double> first;
  for (double wait = 0; wait <= 300 && !first; wait += 10)
    if (limit.met_by(solved_by_itself(small_joint(folder, wait), limit))) first = wait;
  REQUIRE(first);
  REQUIRE(curve.shortest);
  CHECK(*first == 70);
  CHECK(*curve.shortest > *first - 10);
  CHECK(*curve.shortest <= *first + range.within);
  CHECK(curve.value_at(*curve.too_short) >= limit.limit);
  CHECK(runs.solved() == static_cast<int>(curve.points.size()));
}

TEST_CASE("One run of a bond that holds serves every maturity law", "[wait][verification]") {
  const ScratchFolder folder;
  const Case written = small_joint(folder, 0);
  WaitRuns runs(written, ratio_limit, 1, maturity_choices(written, maturity_choice_names()), go_on);
  REQUIRE(runs.laws().size() == 3);  // the case's own is the chairside rule
  CHECK(runs.laws()[0].name == "of the case (chairside-rule)");
  for (const double wait : {0.0, 100.0}) {
    for (std::size_t law = 1; law < 3; ++law) {
      INFO(runs.laws()[law].name << " after " << wait);
      CHECK(*runs.value(wait, law) ==
            solved_by_itself(small_joint(folder, wait, runs.laws()[law].name), ratio_limit));
    }
    CHECK(*runs.value(wait, 0) > *runs.value(wait, 2));  // a bond that is mature at once is stronger now
  }
  CHECK(runs.solved() == 2);  // the film stiffens, so each wait has its own solution
}

TEST_CASE("One run serves every wait before the first increment where only strength matures",
          "[wait][verification]") {
  const ScratchFolder folder;
  const auto joint = [&](double wait) {
    Case input = small_joint(folder, wait);
    for (auto& [substrate, law] : input.materials.adhesive.stiffness_maturity)
      law = MaturityLaw::mature_at_once();
    return input;
  };
  WaitRuns runs(joint(0), ratio_limit, 1, maturity_choices(joint(0), {"of-the-case", "ten-minute-pair"}),
                go_on);
  double before = 1e300;
  for (const double wait : {0.0, 7.0, 100.0, 333.3}) {
    INFO(wait);
    CHECK(*runs.value(wait, 0) == solved_by_itself(joint(wait), ratio_limit));
    CHECK(*runs.value(wait, 0) < before);
    before = *runs.value(wait, 0);
    CHECK(*runs.value(wait, 1) > 0);
  }
  CHECK(runs.solved() == 1);
}

TEST_CASE("Where the bond can let go every law is solved by itself", "[wait]") {
  const ScratchFolder folder;
  const Case written = small_joint(folder, 0, "chairside-rule", "debonding");
  const WallLimit limit{WallQuantity::area_over_strength, "all", "all", 0.05};
  WaitRuns runs(written, limit, 1, maturity_choices(written, {"of-the-case", "mature-at-once"}), go_on);
  const double own = *runs.value(0, 0);
  CHECK(own == solved_by_itself(written, limit));
  CHECK(runs.solved() == 1);
  CHECK(*runs.value(0, 1) == solved_by_itself(small_joint(folder, 0, "mature-at-once", "debonding"), limit));
  CHECK(runs.solved() == 2);
}

TEST_CASE("Where the bond can let go, the wait found keeps what lets go below the limit, and is kept on disk",
          "[wait][verification]") {
  const ScratchFolder folder;
  const auto weak_joint = [&](double wait) {
    return small_joint(folder, wait, "chairside-rule", "debonding",
                       "[bond.strength]\ntensile = 14.0\nshear = 14.0\nfracture_energy_opening = 0.02\n"
                       "fracture_energy_sliding = 0.02\n");
  };
  const Case written = weak_joint(0);
  const WallLimit limit{WallQuantity::debonded_area, "all", "all", 0.45};
  const WaitRange range{.longest = 300, .within = 60, .points = 4};
  KeptAnswers kept(folder / "answer");
  WaitRuns runs(written, limit, 1, maturity_choices(written, {"of-the-case"}), go_on, &kept);
  const auto traced = [&](WaitRuns& by) {
    return trace_waits([&](double wait) { return by.value(wait, 0); }, limit.limit, range);
  };
  const WaitCurve curve = traced(runs);
  REQUIRE(curve.shortest);
  REQUIRE(curve.too_short);
  CHECK(*curve.shortest - *curve.too_short <= range.within);
  for (const double wait : {*curve.too_short, *curve.shortest}) {
    const double own = solved_by_itself(weak_joint(wait), limit);
    CHECK(own == curve.value_at(wait));
    CHECK(limit.met_by(own) == (wait == *curve.shortest));
  }
  // A search that is begun again, after this one was ended in whatever way, solves nothing twice.
  KeptAnswers found(folder / "answer");
  WaitRuns again(written, limit, 1, maturity_choices(written, {"of-the-case"}), go_on, &found);
  CHECK(traced(again).shortest == curve.shortest);
  CHECK(again.solved() == 0);
  const Case other = small_joint(folder, 0, "ten-minute-pair", "debonding");
  CHECK(WaitRuns(other, limit, 1, maturity_choices(other, {"of-the-case"}), go_on, &found).answers() == 0);
  folder.write("answer.answers.json", "{}");
  CHECK_THROWS_WITH(KeptAnswers(folder / "answer"), Catch::Contains("holds no answers of setstress wait"));
}

TEST_CASE("Questions without an answer are refused before anything is solved", "[wait]") {
  const ScratchFolder folder;
  const Case written = small_joint(folder, 0);
  const auto ask = [&](const WallLimit& limit, int entry, const std::string& law) {
    return WaitRuns(written, limit, entry, maturity_choices(written, {law}), go_on);
  };
  CHECK_THROWS_WITH(ask({WallQuantity::stress_to_strength, "floor", "all", 1}, 1, "of-the-case"),
                    Catch::Contains("no wall \"floor\"") && Catch::Contains("lower (all)"));
  CHECK_THROWS_WITH(ask({WallQuantity::debonded_area, "lower", "all", 0.05}, 1, "of-the-case"),
                    Catch::Contains("--mode debonding"));
  CHECK_THROWS_WITH(ask(ratio_limit, 2, "of-the-case"), Catch::Contains("there is no wait before number 2"));
  CHECK_THROWS_WITH(ask(ratio_limit, 1, "linear"), Catch::Contains("must be one of: of-the-case"));
}

TEST_CASE("Stopping in the middle of a search keeps the waits that were solved", "[wait]") {
  const ScratchFolder folder;
  const Case written = small_joint(folder, 0);
  const WaitRange range{.longest = 300, .within = 4, .points = 5};
  double stop_at = 0;  // wait at which the user asks to stop [s]
  WaitRuns runs(written, ratio_limit, 1, maturity_choices(written, {"of-the-case", "mature-at-once"}),
                [&](double share, double wait) { return share < 0.3 || wait < stop_at; });
  CHECK_THROWS_AS(runs.value(0, 0), WaitStopped);
  stop_at = 60;
  for (const std::size_t law : {std::size_t{0}, std::size_t{1}}) {
    const WaitCurve curve = trace_waits([&](double wait) { return runs.value(wait, law); }, 1e-6, range);
    CHECK(curve.stopped);
    REQUIRE(curve.points.size() == 2);  // 0 s and the next of the coarse row
    CHECK(curve.points.back().wait < stop_at);
    CHECK_FALSE(curve.shortest);
  }
}
