#include <catch2/catch.hpp>

#include <algorithm>

#include "cases/wait/wait_report.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace wait_report {
namespace {

WaitCurve falling(double share) {
  return trace_waits([share](double wait) { return share / (1 + wait / 60); }, 0.05,
                     {.longest = 600, .within = 10, .points = 5});
}

/// Two plans made by hand: bulk is quick but needs a long wait or more; layers need none or a short one.
std::vector<PlanWaits> two_plans() {
  PlanWaits bulk{.name = "bulk",
                 .title = "Bulk",
                 .invented = true,
                 .mode = "intact",
                 .written_wait = 0,
                 .chair_time = 65,
                 .chair_time_per_wait = 1,
                 .laws = {{"chairside-rule", falling(0.3)}, {"slow", falling(0.9)}},
                 .facets = 50,
                 .runs = 12,
                 .failures = {}};
  PlanWaits layers{.name = "layers",
                   .title = "Layers",
                   .invented = true,
                   .mode = "intact",
                   .written_wait = 60,
                   .chair_time = 200,
                   .chair_time_per_wait = 3,
                   .laws = {{"chairside-rule", falling(0.04)}, {"slow", falling(0.9)}},
                   .facets = 50,
                   .runs = 9,
                   .failures = {}};
  return {bulk, layers};
}

const WallLimit limit{WallQuantity::area_over_strength, "floor", "all", 0.05};
const WaitRange range{.longest = 600, .within = 10, .points = 5};

}  // namespace

TEST_CASE("The answer names the shortest wait, the shortest chair time and what no wait reaches", "[wait]") {
  const nlohmann::ordered_json json = waits_json(two_plans(), limit, 1, range);
  // 0.3/(1 + w/60) falls below 0.05 at 300 s; no more than 10 s longer is answered.
  const double wait = json.at("plans")[0].at("laws")[0].at("shortest_wait_s");
  CHECK(wait >= 300);
  CHECK(wait <= 311);
  CHECK(json["plans"][0]["laws"][0].at("chair_time_s") == 65 + wait);
  CHECK(json["plans"][0]["laws"][1].at("shortest_wait_s").is_null());  // 0.9/11 after 600 s is above 0.05
  CHECK(json["plans"][1]["laws"][0].at("shortest_wait_s") == 0);
  // Layers are done after 200 s, bulk not before 365 s; under the slow law neither is good.
  CHECK(json.at("shortest_chair_time")[0].at("case") == "layers");
  CHECK(json["shortest_chair_time"][0].at("chair_time_s") == 200);
  CHECK(json["shortest_chair_time"][1].at("case").is_null());

  const std::string text = waits_text(two_plans(), limit, 1, range);
  CHECK_THAT(text, Contains("to stay below 5.0 %") && Contains("is too short"));
  CHECK_THAT(text, Contains("no wait tried up to 10 min meets it; nearest 8.2 %, after 10 min"));
  CHECK_THAT(text, Contains("no wait needed: 4.0 %; chair time 3 min 20 s"));
  CHECK_THAT(text, Contains("chairside-rule: layers, 3 min 20 s, with a wait of 0 s"));
  CHECK_THAT(text, Contains("slow: no plan meets the limit with any wait tried"));
  // Where every increment of the entry waits, the chair time grows by all of them: 200 s + 3 * 60 s as
  // written.
  CHECK_THAT(text, Contains("as written it waits 1 min; chair time 6 min 20 s"));
  CHECK_THAT(text, Contains("steps of about 0.33 %"));  // one of six points of one of 50 facets
}

TEST_CASE("A curve that is not monotone is called so in the answer", "[wait]") {
  std::vector<PlanWaits> plans = two_plans();
  plans.resize(1);
  plans[0].laws = {{"odd", trace_waits([](double wait) { return wait < 100   ? 0.2
                                                                : wait < 200 ? 0.01
                                                                             : 0.1; },
                                       0.05, range)}};
  const std::string text = waits_text(plans, limit, 1, range);
  CHECK_THAT(text, Contains("waiting longer does not always help: 1.0 % after"));
  CHECK_THAT(text, Contains("the limit is missed again after"));
  CHECK_FALSE(waits_json(plans, limit, 1, range)["plans"][0]["laws"][0]
                  .at("longer_waits_that_lose_it_again_s")
                  .empty());
}

TEST_CASE(
    "Energy stands beside the answer, and of what lets go it is said whether longer waits meet the limit too",
    "[wait]") {
  std::vector<PlanWaits> plans = two_plans();
  plans[0].laws[0].energy_bound = 0.4;
  plans[1].laws[0].energy_bound = 3.1;
  const std::string text = waits_text(plans, limit, 1, range);
  CHECK_THAT(
      text,
      Contains("stored is then at most 0.4 of what parting the floor takes: it cannot come off whole") &&
          Contains("up to 3.1 times what parting the floor takes: --mode debonding tells") &&
          !Contains("meet it as well"));
  WallLimit let_go = limit;
  let_go.quantity = WallQuantity::debonded_area;
  CHECK_THAT(waits_text(plans, let_go, 1, range), Contains("the 4 longer waits tried meet it as well"));
  const WaitCurve rises =
      trace_waits([](double wait) { return wait == 0 || wait > 300 ? 0.01 : 0.5; }, 0.05, range);
  plans[1].laws[0].curve = rises;
  plans[0].laws.clear();
  plans[0].laws.push_back(
      {"flat", trace_waits([](double wait) { return wait > 300 ? 0.305 : 0.3; }, 0.05, range)});
  REQUIRE(plans[0].laws[0].curve.rise);  // of 1.5 points of the 300 that 50 facets have
  CHECK_THAT(waits_text({plans[0]}, limit, 1, range), !Contains("does not always help"));
  plans[0].laws.clear();
  const std::string jumps = waits_text(plans, let_go, 1, range);
  CHECK_THAT(jumps, Contains("waiting longer does not always help: 1.0 % after 0 s, but 50.0 %") &&
                        Contains("the limit is missed again after") && !Contains("meet it as well"));
}

TEST_CASE("Curves as a table and as a chart hold every wait tried", "[wait]") {
  const std::vector<PlanWaits> plans = two_plans();
  const std::string table = waits_csv(plans, limit);
  CHECK_THAT(table,
             Catch::StartsWith(
                 "case,law,wait_s,chair_time_s,area_over_strength\nbulk,\"chairside-rule\",0,65,0.3\n"));
  std::size_t tried = 0;
  for (const PlanWaits& plan : plans)
    for (const LawWaits& law : plan.laws) tried += law.curve.points.size();
  CHECK(static_cast<std::size_t>(std::count(table.begin(), table.end(), '\n')) == tried + 1);
  const Chart chart = waits_chart(plans[0], limit, 1);
  REQUIRE(chart.series.size() == 2);
  CHECK(chart.series[0].points.size() == plans[0].laws[0].curve.points.size());
  CHECK(chart.series[0].points[0].y == Approx(30));  // per cent
  CHECK(chart.rules.at(0).at == Approx(5));
  PlanWaits nothing = plans[0];
  for (LawWaits& law : nothing.laws) law.curve = {};
  CHECK_THROWS_AS(waits_chart(nothing, limit, 1), std::invalid_argument);
}

TEST_CASE("on a mesh too coarse for it, that is said first and no shortest plan is named", "[cases][wait]") {
  std::vector<PlanWaits> plans = two_plans();
  const std::string sound = waits_text(plans, WallLimit{}, 1, WaitRange{});
  CHECK_THAT(sound, Contains("Shortest chair time of these plans") && !Contains("too coarse"));
  plans[1].coarse_mesh = "too coarse for percentiles: elements of 1.2 mm";
  const std::string text = waits_text(plans, WallLimit{}, 1, WaitRange{});
  CHECK(text.starts_with("layers: too coarse for percentiles: elements of 1.2 mm\n"));
  CHECK_THAT(text, Contains("no shortest plan is named") && !Contains("Shortest chair time of these plans"));
  for (const auto& best : waits_json(plans, WallLimit{}, 1, WaitRange{}).at("shortest_chair_time"))
    CHECK(best.at("case").is_null());
}

TEST_CASE("a ratio is that of the whole wall, and a part that bore more is told with its area",
          "[cases][wait]") {
  const auto row = [](double placed, double p95) {
    BondStatistics s{};
    s.area = 10, s.placed_area = placed, s.ratio.p95 = p95;
    return WallRow{"floor", std::nullopt, s};
  };
  LargestValue largest;
  largest.see(row(3, 2.75), WallQuantity::stress_to_strength);
  largest.see(row(10, 1.79), WallQuantity::stress_to_strength);
  CHECK(largest.value == 1.79);
  REQUIRE(largest.higher_part());
  CHECK(largest.higher_part()->ratio == 2.75);
  std::vector<PlanWaits> plans = two_plans();
  plans[0].laws[0].higher_part = largest.higher_part();
  CHECK_THAT(waits_text(plans, WallLimit{}, 1, WaitRange{}),
             Contains("while the wall was filled in part it was 2.75, on the 3 mm2 of 10 mm2 filled then"));
}

TEST_CASE("A plan that leaves paste unset is marked and never named shortest", "[wait]") {
  std::vector<PlanWaits> plans = two_plans();
  plans[1].under_cured = true;
  plans[1].cure_warnings = {"under-cured at the end of the plan"};
  nlohmann::ordered_json json = waits_json(plans, limit, 1, range);
  CHECK(json.at("shortest_chair_time")[0].at("case") == "bulk");  // layers would be done before
  CHECK(json["plans"][1].at("under_cured") == true);
  const std::string text = waits_text(plans, limit, 1, range);
  CHECK_THAT(text, Contains("Note: under-cured at the end of the plan") &&
                       Contains("left out, under-cured: layers"));
  plans[0].under_cured = true;
  CHECK(waits_json(plans, limit, 1, range).at("shortest_chair_time")[0].at("case").is_null());
  CHECK_THAT(waits_text(plans, limit, 1, range), !Contains("chairside-rule: bulk"));
}

}  // namespace wait_report
