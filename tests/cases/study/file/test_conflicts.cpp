// Two places of a study that give one key two values, and factors that cannot be drawn: refused before the
// first run. Facts about our own format; no source.

#include <toml++/toml.h>

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/study/design/study_plan.hpp"
#include "cases/study/file/conflicts.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

const std::string bulk = "[study]\nbase = \"deep-box-bulk\"\n";

std::string factor(const std::string& name, const std::string& rest) {
  return "[[factor]]\nname = \"" + name + "\"\n" + rest + "\n";
}

Study study_from(const ScratchFolder& folder, const std::string& text) {
  return read_study(folder.write("mine.toml", text));
}

const std::string plans = factor("plan",
                                 "[[factor.alternative]]\nname = \"bulk\"\n"
                                 "[[factor.alternative]]\nname = \"layer\"\nfile = \"deep-box-floor-layer\"");

}  // namespace

TEST_CASE("[set] holds for all runs, those of an alternative's file too", "[study]") {
  const ScratchFolder folder;
  const Study study =
      study_from(folder, "[set.plan]\nend = \"1 min\"\n[set.preparation]\ndepth = 4.0\n" + bulk + plans);
  for (const StudyRow& row : plan_of(study).rows) {
    const Case input = case_of(study, row);
    CHECK(input.plan.timeline.end == Approx(input.plan.chair_time + 60));
    CHECK(std::get<ToothCase>(input.geometry).preparation.depth == 4.0);
  }
}

TEST_CASE("what a file brings besides its plan is told", "[study]") {
  const ScratchFolder folder;
  folder.write("base.toml", "base = \"deep-box-bulk\"\n[tooth]\nlength = 9.0\n");
  const Study study = study_from(folder, "[study]\nbase = \"base.toml\"\n" + plans);
  const auto notes = notes_on_alternatives(study);
  REQUIRE(notes.size() == 1);
  CHECK_THAT(notes[0], Contains("alternative layer of factor plan") && Contains("tooth.length"));
  CHECK(notes_on_alternatives(study_from(folder, bulk + plans)).empty());
}

TEST_CASE("one key in two places of a study is refused with its place", "[study][errors]") {
  const ScratchFolder folder;
  const std::string depth = "key = \"preparation.depth\"\nvalues = [4.0, 5.0]";
  const auto [text, sentence] = GENERATE_COPY(table<std::string, std::string>(
      {{bulk + factor("a", depth) + factor("b", depth), "factor b: sets preparation.depth, as does factor a"},
       {bulk + "[set.plan]\nend = 60\n" +
            factor("plan", "[[factor.alternative]]\nname = \"x\"\nset.plan.end = 30"),
        "factor plan: an alternative sets plan.end, which [set] gives"},
       {bulk + factor("p", "[[factor.alternative]]\nname = \"x\"\nset.plan.end = 30") +
            factor("q", "[[factor.alternative]]\nname = \"y\"\nset.plan.end = 40"),
        "factor q: its alternatives set plan.end, as do those of factor p"},
       {bulk + factor("p", "[[factor.alternative]]\nname = \"x\"\nset.without = [\"preparation.sied\"]"),
        "takes back \"preparation.sied\""},
       {bulk + "[set.preparation]\ndepth = 5.0\n" + factor("a", depth),
        "factor a: sets preparation.depth, which [set] gives for all runs"},
       {bulk + factor("p", "[[factor.alternative]]\nname = \"x\"\nset.plan.wait = 30") +
            factor("q", "key = \"plan.wait\"\nvalues = [1, 2]"),
        "factor q: sets plan.wait, as do alternatives of factor p"},
       {bulk + factor("a", "keys = [\"plan.wait\", \"plan.wait\"]\nvalues = [1, 2]"),
        "factor a: sets plan.wait twice"},
       {bulk + factor("a", "key = \"preparation.depth\"\nvalues = [4.0, 4.0]"), "values hold 4 twice"}}));
  CHECK_THROWS_WITH(study_from(folder, text), Contains(sentence) && Contains("mine.toml:"));
}

TEST_CASE("an alternative takes keys of the base back: the kind of box as a factor", "[study]") {
  const ScratchFolder folder;
  const Study study = study_from(
      folder, bulk + factor("box",
                            "[[factor.alternative]]\nname = \"proximal\"\n[[factor.alternative]]\nname = "
                            "\"occlusal\"\nset.without = [\"preparation.side\"]\nset.preparation.kind = "
                            "\"occlusal-box\""));
  const StudyPlan plan = plan_of(study);
  REQUIRE(plan.rows.size() == 2);
  const auto kind = [&](std::size_t row) {
    return std::get<ToothCase>(case_of(study, plan.rows[row]).geometry).preparation.kind;
  };
  CHECK(kind(0) == Preparation::Kind::proximal_box);
  CHECK(kind(1) == Preparation::Kind::occlusal_box);
}

TEST_CASE("distributions that cannot be drawn from are refused when they are read", "[study][errors]") {
  const ScratchFolder folder;
  const auto draw = [&](const std::string& distribution) {
    return study_from(folder,
                      bulk + factor("x", "key = \"preparation.depth\"\ndistribution = " + distribution));
  };
  CHECK_THROWS_WITH(draw("\"normal\"\nmean = 1\ndeviation = 0.001\nlow = 300\nhigh = 400"),
                    Contains("factor[1].distribution") && Contains("less than a millionth"));
  CHECK_THROWS_WITH(draw("\"weibull\"\nshape = 1e-3\nscale = 1"), Contains("no number to work with"));
  CHECK_THROWS_WITH(draw("\"lognormal\"\nmedian = 1\nspread = 1000"), Contains("no number to work with"));
  CHECK_NOTHROW(draw("\"weibull\"\nshape = 2\nscale = 4"));
}

TEST_CASE("a rule that can never hold is refused", "[study][errors]") {
  const ScratchFolder folder;
  const std::string depth = factor("w", "key = \"preparation.depth\"\nvalues = [4.0, 5.0]");
  const auto dropping = [&](const std::string& rule) {
    return study_from(folder, bulk + "drop = [\"" + rule + "\"]\n" + depth + plans);
  };
  CHECK_THROWS_WITH(dropping("w == 'a'"), Contains("compares factor w, which takes numbers, with a"));
  CHECK_THROWS_WITH(dropping("plan == 'bluk'"), Contains("did you mean 'bulk'?"));
  CHECK_THROWS_WITH(dropping("plan != 3"), Contains("compares factor plan, which takes words, with 3"));
  CHECK_NOTHROW(dropping("w > 4 and plan == 'bulk'"));
  try {
    (void)dropping(std::string(60000, 'w') + " > 3");
    FAIL("not refused");
  } catch (const CaseError& error) {
    CHECK(std::string(error.what()).size() < 1000);
  }
}

TEST_CASE("material files named in a study are found from anywhere", "[study]") {
  const ScratchFolder folder;
  folder.write("mine.toml", "");
  folder.write("lab.toml", "[composite.lab]\nfrom = \"conventional-paste\"\nvolumetric_shrinkage = 0.02\n");
  const Study study = study_from(folder, bulk + "[set.materials]\ninclude = \"lab.toml\"\n" +
                                             factor("d", "key = \"preparation.depth\"\nvalues = [4.0]"));
  const ScratchFolder elsewhere;
  CHECK_NOTHROW(read_case(elsewhere.write("row.toml", case_text(study, plan_of(study).rows[0]))));
}

TEST_CASE("what no run would follow cannot be varied or set", "[study][errors]") {
  const ScratchFolder folder;
  const std::string depth = "key = \"preparation.depth\"\nvalues = ";
  const auto [text, sentence] = GENERATE_COPY(table<std::string, std::string>(
      {{bulk + factor("a", "key = \"case.title\"\nvalues = [1, 2]"), "factor a: sets case.title"},
       {bulk + factor("a", "key = \"base\"\nvalues = [\"deep-box-layers\", \"deep-box-bulk\"]"),
        "factor a: sets base, which no run would follow"},
       {bulk + factor("a", "key = \"without\"\nvalues = [1, 2]"), "which alternatives can"},
       {"[set]\nbase = \"deep-box-layers\"\n" + bulk + factor("a", depth + "[4.0, 5.0]"), "gives base"},
       {bulk + factor("a", depth + "[4.0, nan]"), "values hold nan; must be finite numbers"}}));
  CHECK_THROWS_WITH(study_from(folder, text), Contains(sentence) && Contains("mine.toml"));
}

TEST_CASE("a row that is refused names the line of the study", "[study][errors]") {
  const ScratchFolder folder;
  const Study study = study_from(folder, "[set.mesh]\nfinenes = \"coarse\"\n" + bulk +
                                             factor("a", "key = \"preparation.depth\"\nvalues = [4.0, 5.0]"));
  try {
    (void)case_of(study, plan_of(study).rows.front());
    FAIL("not refused");
  } catch (const CaseError& error) {
    CHECK_THAT(error.what(), Contains("mine.toml:2: mesh.finenes is not a key") && !Contains("row-1"));
  }
}
