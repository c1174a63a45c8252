// What gaps.csv and the summary tell of a gap, from a hand-made frame.

#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "cases/result/gap_report.hpp"
#include "cases/words/gap_words.hpp"

using namespace setstress;

namespace {

/// A square of 2 mm2 of floor on enamel, two facets, one of which has let go by 2 um.
struct HalfLetGo {
  Model model;
  Frame frame;
  HalfLetGo() {
    model.mesh.nodes = {{0, 0, 0}, {2, 0, 0}, {2, 1, 0}, {0, 1, 0}};
    model.mesh.walls = {"floor"};
    model.mesh.bond = {{{0, 1, 2, 0, 1, 2}, {0, 1, 2, 0, 1, 2}, 0, 0, 0},
                       {{0, 2, 3, 0, 2, 3}, {0, 2, 3, 0, 2, 3}, 0, 0, 0}};
    model.substrates = {Substrate::enamel, Substrate::enamel};
    frame.time = 3;
    frame.event = "end";
    frame.bond.resize(2);
    for (auto& facet : frame.bond)
      for (BondPoint& point : facet) point.active = true;
    for (BondPoint& point : frame.bond[1]) point.strength_lost = 1, point.opening = 0.002;
  }
};

}  // namespace

TEST_CASE("a gap is told in table, summary and words, by the threshold that was set", "[cases]") {
  const HalfLetGo half;
  for (const double threshold : {0.001, 0.003}) {
    GapReport report(half.model, threshold);
    report.add(half.frame);
    const bool open = threshold < 0.002;
    const nlohmann::ordered_json gaps = report.json();
    const nlohmann::ordered_json& gap = gaps.at("end").at("gaps").at(0);
    CHECK(gap.at("volume_nL").get<double>() == Approx(2));
    CHECK(gap.at("mean_um").get<double>() == Approx(2));
    CHECK(gap.at("open_to_margin") == open);
    CHECK(gap.at("where").at(0).at("wall") == "floor");
    CHECK(gaps.at("records").at(0).at("open_since_s").is_null() == !open);
    const std::string row = report.table().substr(std::string(GapReport::heading).size());
    CHECK(row ==
          fmt::format("3,\"end\",1,\"floor on enamel 1\",1,2,2,2,0,2,{},{}\n", open ? 1 : 0, open ? 1 : 0));
    const std::string words = gaps_text({{"gaps", gaps}});
    CHECK(gap_sentence({{"gaps", gaps}}).starts_with("one gap at the end: it has 1 mm2, widest 2.0 um, "));
    CHECK(words.find(open ? "open to the margin since 3 s" : "narrowest on the way 2 um, below 3 um") !=
          std::string::npos);
  }
  CHECK(gaps_text({{"bond", 1}}).empty());
}

TEST_CASE("a facet is the gap's that holds most of it, once half of it has let go", "[cases]") {
  HalfLetGo half;
  GapReport report(half.model, 0.001);
  CHECK(report.gap_of_facet() == std::vector{0, 0});
  report.add(half.frame);
  CHECK(report.gap_of_facet() == std::vector{0, 1});
  for (std::size_t p : {3, 4}) half.frame.bond[0][p].strength_lost = 1;  // less than half, by weight
  const auto& points = facet_points();
  REQUIRE(points[3].weight + points[4].weight < 0.5);
  report.add(half.frame);
  CHECK(report.gap_of_facet() == std::vector{0, 1});
}

TEST_CASE("where nothing has let go, no gap is told", "[cases]") {
  HalfLetGo half;
  for (BondPoint& point : half.frame.bond[1]) point.strength_lost = 0.5;
  GapReport report(half.model, 0.001);
  report.add(half.frame);
  CHECK(report.table() == GapReport::heading);
  CHECK(gap_sentence({{"gaps", report.json()}}).starts_with("no gap"));
  CHECK(gap_sentence({{"bond", 1}}).empty());
  CHECK(gaps_text({{"gaps", report.json()}}).find("No gap") != std::string::npos);
}
