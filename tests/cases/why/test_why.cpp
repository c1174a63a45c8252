#include <catch2/catch.hpp>

#include <cmath>
#include <numeric>

#include "cases/file/read_case.hpp"
#include "cases/why/why.hpp"
#include "cases/why/why_report.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

double sum(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0);
}

/// Four causes, of which the third (bit 2) does nothing, the first two only together as well as alone.
double made_up(CauseSet set) {
  const auto on = [&](unsigned cause) { return static_cast<double>(set >> cause & 1U); };
  return 2.5 + on(0) - 0.3 * on(1) + 4 * on(0) * on(1) + 0.7 * on(3) - on(0) * on(1) * on(3);
}

/// A butt joint between tooth-like plates that is coarse enough to be solved in a moment.
Case joint(const ScratchFolder& folder, const std::string& name, const std::string& more) {
  return read_case(folder.write(name + ".toml", R"([specimen]
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
)" + more));
}

constexpr const char* light = R"([[plan.light]]
irradiance = 600.0
duration = "10 s"
)";
const std::string bulk = std::string(light) + R"([[plan.increment]]
placing_time = "5 s"
)";
const std::string layers = std::string(light) + R"([[plan.increment]]
layer = "horizontal"
thickness = 0.5
placing_time = "5 s"
[[plan.increment]]
placing_time = "5 s"
wait = "30 s"
)";

Why why_of(const Case& first, const Case& second) {
  return WhyRuns(first, second).solve([](double, int) { return true; });
}

}  // namespace

TEST_CASE("shares of a made-up game add up, leave an idle cause nothing and know their closed form",
          "[cases][why]") {
  const std::vector<double> parts = shapley_values(4, made_up);
  CHECK_THAT(sum(parts), WithinAbs(made_up(15) - made_up(0), 1e-13));
  CHECK(parts[2] == 0);
  // a product of k causes is shared equally by them (Shapley 1953)
  CHECK_THAT(parts[0], WithinAbs(1 + 4.0 / 2 - 1.0 / 3, 1e-13));
  CHECK_THAT(parts[1], WithinAbs(-0.3 + 4.0 / 2 - 1.0 / 3, 1e-13));
  CHECK_THAT(parts[3], WithinAbs(0.7 - 1.0 / 3, 1e-13));
  const std::vector<double> negative = shapley_values(4, [](CauseSet set) { return -made_up(set); });
  for (std::size_t i = 0; i < parts.size(); ++i) CHECK(negative[i] == -parts[i]);
  CHECK(shapley_values(0, made_up).empty());
  CHECK_THROWS_AS(shapley_values(17, made_up), std::invalid_argument);
}

TEST_CASE("things made equal are made equal both ways, so that swapping the plans changes every sign",
          "[cases][why]") {
  std::vector<Cause> causes{all_causes()[1], all_causes()[3]};  // composite, light lost with depth
  REQUIRE(!causes[0].is_effect);
  REQUIRE(causes[1].is_effect);
  // first plan: composite 2, light 0.3; second: composite 5, light 0.1; a product, so that order matters
  const auto model = [](bool swapped) {
    return [swapped](const WhyRun& run) {
      const bool is_second = run.second_plan != swapped;
      const double own = is_second ? 5 : 2, equal = run.as_second != swapped ? 5 : 2;
      const double composite = (run.acting & 1U) != 0 ? own : equal;
      const double left = (run.acting & 2U) != 0 ? (is_second ? 0.9 : 0.7) : 1;
      return composite * left * (is_second ? 3 : 4);
    };
  };
  for (CauseSet set = 0; set < 4; ++set)
    CHECK(difference(causes, set, model(true)) == -difference(causes, set, model(false)));
  CHECK(difference(causes, 3, model(false)) == 5 * 0.9 * 3 - 2 * 0.7 * 4);
  CHECK(difference(causes, 0, model(false)) == Approx(0.5 * (2 + 5) * (3 - 4)));
}

TEST_CASE("parts of real runs add up, are 0 for what acts in neither, and change sign with the order",
          "[cases][why]") {
  const ScratchFolder folder;
  const Case a = joint(folder, "bulk", bulk + "[materials]\nfilling = \"flowable\"\n");
  const Case b = joint(folder, "layers", layers);  // conventional paste
  const Why there = why_of(a, b), back = why_of(b, a);
  REQUIRE(there.causes.size() == 3);  // composite, light with depth, maturing; one adhesive, no distance
  REQUIRE(!there.parts.empty());
  REQUIRE(there.parts.size() == back.parts.size());
  bool something = false;
  for (std::size_t p = 0; p < there.parts.size(); ++p) {
    const WhyPart &part = there.parts[p], &other = back.parts[p];
    CHECK_THAT(sum(part.of_causes) + part.of_placing, WithinAbs(part.second - part.first, 1e-12));
    CHECK(other.first == part.second);
    CHECK(other.of_placing == -part.of_placing);
    for (std::size_t c = 0; c < part.of_causes.size(); ++c) {
      CHECK_THAT(other.of_causes[c], WithinAbs(-part.of_causes[c], 1e-12));
      something = something || std::abs(part.of_causes[c]) > 0.01;
    }
  }
  CHECK(something);
  CHECK(there.solutions < there.cases);  // ageing alone needs none of its own
}

TEST_CASE("one plan on two composites owes all to the composite, the same plan twice nothing to anything",
          "[cases][why]") {
  const ScratchFolder folder;
  const std::string clear =
      "[materials.override.flowable.light]\nattenuation = 0.0\n[materials]\ntissue_attenuation = 0.0\n"
      "filling = \"flowable\"\n[bond.strength_maturity]\nlaw = \"mature-at-once\"\n";
  const std::string stiffer = "[materials.override.flowable.stiffness]\nyoungs_modulus = 9000.0\n";
  const Case a = joint(folder, "soft", bulk + clear), b = joint(folder, "stiff", bulk + clear + stiffer);
  const Why why = why_of(a, b);
  CAPTURE(why.causes.back().key);
  REQUIRE(why.causes.size() == 1);
  CHECK(why.causes[0].key == "composite");
  for (const WhyPart& part : why.parts) {
    CHECK(part.of_placing == 0);
    CHECK(part.of_causes[0] == part.second - part.first);
  }
  CHECK(std::ranges::any_of(why.parts, [](const WhyPart& part) { return part.second > part.first + 0.01; }));
  const Why nothing = why_of(a, a);
  CHECK(nothing.causes.empty());
  CHECK(nothing.solutions == 1);
  CHECK_THAT(why_sentences(nothing).back(), Contains("nothing to take apart"));
}

TEST_CASE("a paste that flows in one plan only owes the difference to its flow", "[cases][why]") {
  const ScratchFolder folder;
  const std::string clear =
      "[materials.override.flowable.light]\nattenuation = 0.0\n[materials]\ntissue_attenuation = 0.0\n"
      "filling = \"flowable\"\n[bond.strength_maturity]\nlaw = \"mature-at-once\"\n";
  const std::string flow =
      "[materials.override.flowable.flow]\nvitrification = 0.5\nshare = 0.5\ntime_soft = 1.0\ntime_set = "
      "1000.0\n";
  const Case a = joint(folder, "elastic", bulk + clear), b = joint(folder, "flowing", bulk + clear + flow);
  const Why why = why_of(a, b);
  REQUIRE(why.causes.size() == 1);
  CHECK(why.causes[0].key == "flow");
  for (const WhyPart& part : why.parts) CHECK(part.of_causes[0] == part.second - part.first);
  CHECK(std::ranges::any_of(why.parts, [](const WhyPart& part) { return part.second < part.first - 0.01; }));
}

TEST_CASE("the plan of one tooth is placed in the other to tell tooth and placing apart", "[cases][why]") {
  const ScratchFolder folder;
  const auto mould = [&](const std::string& name, double wall, const std::string& plan) {
    return read_case(folder.write(name + ".toml", R"([specimen]
kind = "flexing-mould"
slot_width = 2.0
slot_length = 2.0
slot_depth = 2.0
base_thickness = 1.0
wall_thickness = )" + std::to_string(wall) + R"(
[[hold]]
surface = "bottom"
[mesh]
fineness = 1.0
[plan]
end = "20 s"
)" + plan));
  };
  const std::string two = std::string(light) +
                          "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 1.0\n[[plan.increment]]\n";
  const Why why = why_of(mould("thin", 1.0, bulk), mould("thick", 2.0, two));
  REQUIRE(why.causes.front().key == "tooth");
  REQUIRE(!why.parts.empty());
  for (const WhyPart& part : why.parts)
    CHECK_THAT(sum(part.of_causes) + part.of_placing, WithinAbs(part.second - part.first, 1e-12));
  CHECK(
      std::ranges::any_of(why.parts, [](const WhyPart& part) { return std::abs(part.of_causes[0]) > 1e-3; }));
}

TEST_CASE("what is said of a difference that has two sides names both", "[cases][why]") {
  Why why{.first = "bulk", .second = "layers", .mode = "intact", .causes = {all_causes()[3]}, .parts = {}};
  why.parts.push_back({.wall = "floor",
                       .wall_words = "floor",
                       .measure = 0,
                       .first = 0.96,
                       .second = 1.54,
                       .of_causes = {1.05},
                       .of_placing = -0.47,
                       .without = {std::pair(1.6, 1.13)},
                       .differences = {-0.47, 0.58}});
  const std::vector<std::string> said = why_sentences(why);
  REQUIRE(said.size() == 2);
  CHECK(
      said[1] ==
      "Of +0.58 on the floor (0.96 in \"bulk\", 1.54 in \"layers\"), +1.05 is light lost with depth; how it "
      "is placed takes 0.47 off. Without light lost with depth the floor would read 1.60 in \"bulk\" and "
      "1.13 in \"layers\".");
  std::swap(why.parts[0].first, why.parts[0].second);
  why.parts[0].of_causes[0] *= -1;
  why.parts[0].of_placing *= -1;
  CHECK_THAT(why_sentences(why)[1], Contains("-1.05 is light lost with depth; how it is placed adds 0.47."));
}
