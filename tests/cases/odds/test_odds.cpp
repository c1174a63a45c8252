#include <catch2/catch.hpp>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/file/read_case.hpp"
#include "cases/odds/odds_database.hpp"
#include "cases/odds/odds_report.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

Case joint(const ScratchFolder& folder, const std::string& name, const std::string& more) {
  return read_case(folder.write(name + ".toml", R"([specimen]
kind = "butt-joint"
adherend_height = 0.5
[[hold]]
surface = "bottom"
[[hold]]
surface = "top"
[mesh]
fineness = 0.6
[[plan.light]]
irradiance = 600.0
duration = "10 s"
[plan]
end = "20 s"
)" + more));
}
const std::string bulk = "[[plan.increment]]\n";
const std::string later = "[[plan.increment]]\nwait = \"5 min\"\n";

const std::vector<std::string> walls{"bottom", "top"};

Odds odds_of_pair(const Case& a, const Case& b, int draws) {
  return find_odds(a, b, {.draws = draws, .seed = 5, .processes = 2, .quiet = true});
}

}  // namespace

TEST_CASE("every spread of the library says what it rests on", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "joint", bulk);
  CHECK(input.materials.spreads.size() == spread_fields().size());
  for (const Spread& spread : input.materials.spreads) {
    CAPTURE(spread.of);
    CHECK(!spread.source.empty());
    CHECK((spread.basis == "assumption" || spread.basis == "derived" || spread.basis == "published"));
    CHECK(spread.is_drawn());
  }
}

TEST_CASE("a case puts spreads in place of the library's, and slips are refused", "[cases][odds]") {
  const ScratchFolder folder;
  const Case own = joint(folder, "own",
                         bulk + "[spread.shrinkage]\ncov = 0.3\n[spread.exponent]\nlow = 1.5\nhigh = 1.5\n");
  const auto inputs = uncertain_inputs(own, own, walls);
  const auto named = [&](const std::string& of) {
    return std::ranges::count_if(inputs, [&](const UncertainInput& i) { return i.spread.of == of; });
  };
  CHECK(named("shrinkage") == 1);
  CHECK(named("exponent") == 0);       // no range is no spread
  CHECK(named("toughness") == 0);      // the bond holds
  CHECK(named("lamp_distance") == 0);  // nothing is lost with distance
  CHECK(named("strength_of_wall") == 2);
  CHECK_THROWS_WITH(joint(folder, "slip", bulk + "[spread.shrinkag]\ncov = 0.3\n"), Contains("shrinkag"));
  CHECK_THROWS_WITH(joint(folder, "slip", bulk + "[spread.exponent]\nlow = 3.0\n"),
                    Contains("high") && Contains("below low"));
  CHECK_THROWS_WITH(joint(folder, "slip", bulk + "[spread.maturity_law]\nlaws = [\"slow\"]\n"),
                    Contains("slow"));
  CHECK_THROWS_WITH(uncertain_inputs(own, joint(folder, "usual", bulk), walls),
                    Contains("different [spread]"));
}

TEST_CASE("values of a law are drawn only where a law that has them may be", "[cases][odds]") {
  const ScratchFolder folder;
  const auto drawn = [&](const std::string& laws, const std::string& of) {
    const Case input = joint(folder, "laws", bulk + "[spread.maturity_law]\n" + laws);
    return std::ranges::count(uncertain_inputs(input, input, walls), of,
                              [](const UncertainInput& i) { return i.spread.of; });
  };
  const std::string pair = "laws = [\"mature-at-once\", \"ten-minute-pair\"]\nweights = [1.0, 1.0]\n",
                    rule = "laws = [\"chairside-rule\", \"mature-at-once\"]\nweights = [1.0, 1.0]\n",
                    none = "laws = [\"mature-at-once\"]\nweights = [1.0]\n";
  CHECK((drawn(pair, "at_once") == 1 && drawn(pair, "ten_minute_ratio") == 1));
  CHECK((drawn(rule, "at_once") == 1 && drawn(rule, "ten_minute_ratio") == 0));
  CHECK((drawn(none, "at_once") == 0 && drawn(none, "ten_minute_ratio") == 0));
}

TEST_CASE("draws are the same for a seed, and fewer are the first of more", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "joint", bulk);
  const auto inputs = uncertain_inputs(input, input, walls);
  const auto few = draw_values(inputs, 8, 5), many = draw_values(inputs, 400, 5);
  CHECK(std::equal(few.begin(), few.end(), many.begin()));
  CHECK(draw_values(inputs, 8, 6) != few);
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    double sum = 0, squares = 0;
    for (const auto& draw : many) {
      const double log = std::log(std::max(draw[i], 1e-12));
      sum += log, squares += log * log;
      if (inputs[i].spread.high > 0)
        CHECK((draw[i] >= inputs[i].spread.low && draw[i] <= inputs[i].spread.high));
    }
    if (!(inputs[i].spread.cov > 0)) continue;
    const double deviation = std::sqrt(squares / 400 - sum * sum / 400 / 400);
    // of a lognormal factor; the spread of a deviation over 400 draws is 3.5 %
    CHECK(deviation == Approx(std::sqrt(std::log1p(std::pow(inputs[i].spread.cov, 2)))).epsilon(0.14));
  }
}

TEST_CASE("a drawn case differs in what was drawn, and what cannot be is cut and told", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input =
      joint(folder, "joint", bulk + "[materials.override.conventional-paste]\nvolumetric_shrinkage = 0.15\n");
  const auto inputs = uncertain_inputs(input, input, walls);
  std::vector<double> values(inputs.size(), 1.0);
  const auto set = [&](const std::string& of, double value) {
    for (std::size_t i = 0; i < inputs.size(); ++i)
      if (inputs[i].spread.of == of && inputs[i].target != "top") values[i] = value;
  };
  set("shrinkage", 2.0);
  set("strength", 0.8);
  set("strength_of_wall", 0.5);
  set("film_thickness", 0.02);
  set("placing_delay", 7.0);
  set("maturity_law", 2);  // mature at once
  Cuts cuts;
  const Case drawn = drawn_case(input, inputs, values, walls, cuts);
  CHECK(drawn.materials.composites.begin()->second.volumetric_shrinkage == 0.2);
  CHECK(cuts.at("shrinkage of conventional-paste at 0.2") == 1);
  const double usual = input.materials.adhesive.strength.at(Substrate::fixture).tensile;
  CHECK(drawn.materials.wall_bonds.at("bottom").strength.at(Substrate::fixture).tensile ==
        Approx(0.4 * usual));
  CHECK(drawn.materials.wall_bonds.at("top").strength.at(Substrate::fixture).tensile == Approx(0.8 * usual));
  CHECK(drawn.materials.wall_bonds.at("top").normal_stiffness == drawn.materials.adhesive.normal_stiffness());
  CHECK(drawn.materials.adhesive.film_thickness == 0.02);
  CHECK(drawn.materials.adhesive.strength_maturity.at(Substrate::fixture)(0) == 1);
  CHECK(drawn.plan.timeline.placements[0].time == input.plan.timeline.placements[0].time + 7);
  CHECK(drawn.plan.timeline.exposures[0].start == input.plan.timeline.exposures[0].start + 7);
  CHECK(drawn.plan.timeline.end == input.plan.timeline.end + 7);
}

TEST_CASE("draws made side by side have the numbers of draws made one by one", "[cases][odds]") {
  const ScratchFolder folder;
  const Case a = joint(folder, "at-once", bulk),
             b = joint(folder, "thin", bulk + "[bond]\nfilm_thickness = 0.02\n");
  OddsSettings settings{.draws = 3, .seed = 5, .processes = 1, .quiet = true};
  const Odds alone = find_odds(a, b, settings);
  settings.lanes = {8};
  const Odds together = find_odds(a, b, settings);
  REQUIRE(alone.done() == 3);
  REQUIRE(together.done() == 3);
  CHECK(alone.sum != together.sum);  // no database holds both
  bool same = true;
  for (std::size_t r = 0; r < alone.rows.size(); ++r)
    for (std::size_t n = 0; n < alone.rows[r].numbers.size(); ++n) {
      const double one = alone.rows[r].numbers[n], other = together.rows[r].numbers[n];
      CHECK(std::abs(one - other) <= 1e-6 * std::abs(one));
      same = same && one == other;
    }
  CHECK_FALSE(same);  // they did advance together
}

TEST_CASE("the same plan twice: exactly a half, and no difference is said", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "joint", bulk);
  const Odds odds = odds_of_pair(input, input, 3);
  REQUIRE(odds.done() == 3);
  for (std::size_t wall = 0; wall < odds.walls.size(); ++wall) {
    const PairedOdds paired = setstress::odds_of(odds.differences(0, wall));
    CHECK(paired.second_lower.value == 0.5);
    CHECK(paired.same == 3);
  }
  CHECK_THAT(odds_sentences(judged(odds))[1], Contains("no difference in any of 3 draws"));
  CHECK_THAT(odds_text(judged(odds)), Contains("no difference"));
}

TEST_CASE(
    "a later filling of a bond that matures is lower in every draw, and rows come back from their database",
    "[cases][odds]") {
  const ScratchFolder folder;
  const std::string law = "[spread.maturity_law]\nlaws = [\"chairside-rule\"]\n";
  const Case a = joint(folder, "at-once", bulk + law), b = joint(folder, "later", later + law);
  OddsSettings settings{
      .draws = 4, .seed = 5, .processes = 2, .quiet = true, .database = folder.path() / "kept.sqlite"};
  const Odds odds = find_odds(a, b, settings);
  REQUIRE(odds.done() == 4);
  // one paste, one stress, a stronger bond: the ratio can only fall
  for (const double difference : odds.differences(0, odds.walls.size() - 1)) CHECK(difference < 0);
  const std::vector<OddsRow> rows = OddsDatabase(settings.database, odds).rows();
  REQUIRE(rows.size() == 4);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    CHECK(rows[r].numbers == odds.rows[r].numbers);
    CHECK(rows[r].seconds == odds.rows[r].seconds);
  }
  settings.draws = 5;
  settings.earlier = settings.database;
  settings.database = folder.path() / "more.sqlite";
  const Odds more = find_odds(a, b, settings);
  REQUIRE(more.done() == 5);
  for (std::size_t r = 0; r < rows.size(); ++r)
    CHECK(more.rows[r].seconds == odds.rows[r].seconds);  // not again
  settings.draws = 2;
  settings.seed = 6;
  const Odds other = find_odds(a, b, settings);  // other draws: none of them serves
  CHECK(other.rows[0].numbers != odds.rows[0].numbers);
  CHECK(OddsDatabase(settings.database, other).rows().size() == 2);
}

TEST_CASE("a database of something else is left alone", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "joint", bulk);
  const std::filesystem::path file = folder.path() / "mine.sqlite";
  Database(file, Database::Access::write).run("CREATE TABLE teeth (name TEXT)");
  const OddsSettings settings{.draws = 2, .quiet = true, .database = file};
  CHECK_THROWS_WITH(find_odds(input, input, settings), Contains("holds no draws of setstress"));
}

TEST_CASE("how a set paste flows is drawn where one flows, in logarithms, and never faster than soft paste",
          "[cases][odds]") {
  const ScratchFolder folder;
  const std::string flow =
      "[materials.override.conventional-paste.flow]\nvitrification = 0.5\nshare = 0.5\ntime_soft = 6000.0\n"
      "time_set = 20000.0\n";
  const Case plain = joint(folder, "plain", bulk), flowing = joint(folder, "flowing", bulk + flow);
  const auto time_of = [&](const std::vector<UncertainInput>& inputs) {
    return std::ranges::find(inputs, "flow_time", [](const UncertainInput& i) { return i.spread.of; }) -
           inputs.begin();
  };
  CHECK(uncertain_inputs(plain, plain, walls).size() < uncertain_inputs(flowing, flowing, walls).size());
  const auto inputs = uncertain_inputs(plain, flowing, walls);
  const auto at = static_cast<std::size_t>(time_of(inputs));
  REQUIRE(at < inputs.size());
  double sum = 0;
  for (const auto& draw : draw_values(inputs, 400, 5)) {
    CHECK((draw[at] >= 5000 && draw[at] <= 100000));
    sum += std::log10(draw[at]) / 400;
  }
  CHECK(sum == Approx((std::log10(5e3) + 5) / 2).margin(0.06));  // 0.375 / sqrt(400) is 0.02
  std::vector<double> values = draw_values(inputs, 1, 5).front();
  Cuts cuts;
  const auto set_time = [&](double time) {
    values[at] = time;
    return drawn_case(flowing, inputs, values, walls, cuts)
        .materials.composites.begin()
        ->second.flow.branches[0]
        .time_set;
  };
  CHECK(set_time(30000) == Approx(30000));
  CHECK(cuts.empty());
  CHECK(set_time(5000) == 6000);
  CHECK(cuts.size() == 1);
}

TEST_CASE("draws that cannot be built are counted and told with their message", "[cases][odds]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "joint", bulk);
  Odds odds = odds_of_pair(input, input, 2);
  odds.rows[1] = {2, RunStatus::refused, "lamp too far away", {}};
  CHECK(odds.done() == 1);
  const auto said = odds_sentences(judged(odds));
  CHECK(std::ranges::any_of(said, [](const std::string& s) {
    return s == "1 draw could not be made and is left out (number 2): lamp too far away";
  }));
  CHECK(setstress::odds_of(odds.differences(0, 0)).draws == 1);
  CHECK_THAT(odds_table(judged(odds)), Contains("2,refused,\"lamp too far away\""));
}
