// What letting go does to cusps: whether they stay bent, as they do where they are measured.

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/trends/trend_case.hpp"

using namespace setstress::testing;

namespace cusps_let_go {
namespace {

/// A cavity of a ready-made case: those 2 mm deep in one increment, that of 4 mm in two.
struct Cavity {
  std::string name, file, over;
  bool published;  ///< whether cusps of its kind were read to stay bent
};
const std::vector<Cavity> cavities{
    {"class I, 4 x 3 mm, 2 mm deep", "../../cases/ready/shallow-occlusal-box.toml", "", false},
    {"MOD, 3.5 mm wide, 2 mm deep", "../../cases/ready/through-box.toml",
     "[preparation]\ndepth = 2.0\n[[plan.increment]]\nplacing_time = \"20 s\"\n", true},
    {"MOD, 3.5 mm wide, 4 mm deep", "../../cases/ready/through-box.toml", "", true}};

SolvedCase solve(const Cavity& cavity, const std::string& composite, const std::string& mode) {
  return SolvedCase(
      on_top_of(cavity.file, cavity.over + "[mesh]\nfineness = \"coarse\"\n[materials]\nfilling = \"" +
                                 composite + "\"\n"),
      "--mode " + mode);
}

double both(const SolvedCase& solved, const char* when) {
  return solved.summary().at("cusp_deflection").at(when).at("both_um").get<double>();
}

/// Below this share of what they moved at most, cusps count as sprung back: a choice.
constexpr double sprung_back = 0.5;

std::string told(const Cavity& cavity, bool back) {
  return std::string(back ? "they spring back" : "they stay bent") +
         (cavity.published ? (back ? ": DISAGREES" : ": AGREES") : "");
}

}  // namespace

TEST_CASE("whether cusps stay bent where the bond may let go", "[.][long][trends]") {
  Check check{.chapter = "Level",
              .title = "Cusps of a class I and of MODs whose bond may let go",
              .source =
                  "premolar MOD at 5 min: 10.4 (3.7) to 13.5 (5.3) um in four composites, falling from "
                  "there to 1 week (Yarmohammadi 2020); 6.4 to 13.0 um (Behery 2016): still bent. Of "
                  "class I no number was read",
              .formula = "both cusps, means over their occlusal surface: largest, and 10 min after the light",
              .mesh = "coarse",
              .tolerance_because =
                  "a tooth that has lost bond is pulled less (derived); whether cusps stay bent is "
                  "told, not asserted: tooth, width and support of the studies are not ours",
              .comparisons = {}};
  for (const Cavity& cavity : cavities)
    for (const std::string composite : {"conventional-paste", "conventional-paste-anchored"}) {
      const SolvedCase kept = solve(cavity, composite, "intact"),
                       lost = solve(cavity, composite, "debonding");
      const double end = both(lost, "end"), most = both(lost, "largest");
      check.comparisons.push_back(
          at_most(cavity.name + ", " + composite + ": at the end, may let go over held", "-", 1,
                  end / both(kept, "end")));
      check.verdict += fmt::format(
          "{}, {}: {:.1f} um at most, {:.1f} at the end, {:.0f} % of the bond lets go (held: {:.1f} um); "
          "{}. ",
          cavity.name, composite, most, end, 100 * at_end(lost, "all", "debonded_fraction"),
          both(kept, "end"), told(cavity, end < sprung_back * most));
    }
  verify(check);
}

}  // namespace cusps_let_go
