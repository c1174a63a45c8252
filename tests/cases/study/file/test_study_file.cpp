#include <catch2/catch.hpp>

#include <cmath>

#include "cases/file/read_case.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/study/design/study_plan.hpp"
#include "cases/study/file/output_path.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

const std::string heading = "[study]\nbase = \"butt-joint\"\n";
const std::string wait_factor =
    "[[factor]]\nname = \"wait\"\nkey = \"plan.increment[1].wait\"\nvalues = [0, \"1 min\", 300]\n";
const std::string height_factor =
    "[[factor]]\nname = \"height\"\nkey = \"specimen.height\"\nfrom = 0.5\nto = 2\nsteps = 3\nscale = "
    "\"log\"\n";

Study study_from(const std::string& text) {
  const ScratchFolder scratch;
  return read_study(scratch.write("mine.toml", text));
}

}  // namespace

TEST_CASE("a grid has every combination, the last factor fastest", "[study]") {
  const StudyPlan plan = plan_of(study_from(heading + wait_factor + height_factor));
  REQUIRE(plan.rows.size() == 9);
  CHECK(plan.rows[0].values == std::vector<Value>{0.0, 0.5});
  CHECK(plan.rows[1].values == std::vector<Value>{0.0, 1.0});  // halfway between 0.5 and 2 by ratio
  CHECK(plan.rows[8].values == std::vector<Value>{300.0, 2.0});
  for (std::size_t i = 0; i < 9; ++i) CHECK(plan.rows[i].number == static_cast<int>(i) + 1);
}

TEST_CASE("one at a time starts from the nominal values", "[study]") {
  const std::string text = "[study]\nbase = \"butt-joint\"\ndesign = \"one-at-a-time\"\n" + wait_factor +
                           "nominal = 60\n" + height_factor;
  const StudyPlan plan = plan_of(study_from(text));
  REQUIRE(plan.rows.size() == 5);  // the nominal case, two other waits, two other heights
  CHECK(plan.rows[0].values == std::vector<Value>{60.0, 0.5});
  CHECK(plan.rows[1].values == std::vector<Value>{0.0, 0.5});
  CHECK(plan.rows[4].values == std::vector<Value>{60.0, 2.0});
}

TEST_CASE("combinations that a rule excludes are dropped and counted", "[study]") {
  const std::string text =
      "[study]\nbase = \"butt-joint\"\ndrop = [\"wait >= 60 and height > 1\", \"100 * height "
      "== wait\"]\n" +
      wait_factor + height_factor;
  const StudyPlan plan = plan_of(study_from(text));
  CHECK(plan.dropped == std::vector<int>{2, 0});  // 60 and 300 with height 2
  CHECK(plan.rows.size() == 7);
}

TEST_CASE("Sobol indices need two samples and one mixture a factor", "[study]") {
  const std::string text =
      "[study]\nbase = \"butt-joint\"\ndesign = \"sobol-indices\"\npoints = 4\n"
      "[[factor]]\nname = \"a\"\nkey = \"specimen.height\"\ndistribution = \"uniform\"\nlow = 1\nhigh = 2\n"
      "[[factor]]\nname = \"b\"\nkey = \"specimen.width\"\ndistribution = \"triangular\"\nlow = 1\nmode = "
      "2\nhigh "
      "= 4\n";
  const StudyPlan plan = plan_of(study_from(text));
  REQUIRE(plan.rows.size() == 16);
  for (std::size_t point = 0; point < 4; ++point) {
    const StudyRow *a = &plan.rows[4 * point], *b = a + 1, *first = a + 2, *second = a + 3;
    CHECK(first->block == 2);
    CHECK(second->point == static_cast<int>(point));
    CHECK(first->values == std::vector<Value>{b->values[0], a->values[1]});
    CHECK(second->values == std::vector<Value>{a->values[0], b->values[1]});
  }
}

TEST_CASE("the case of a row holds its values and can be read again", "[study]") {
  const Study study = study_from(heading + wait_factor + height_factor);
  const StudyRow row = plan_of(study).rows[4];
  const ScratchFolder scratch;
  const Case written = read_case(scratch.write("row.toml", case_text(study, row)));
  const Case base = read_case(find_case("butt-joint"));
  CHECK(written.plan.timeline.placements[0].time == base.plan.timeline.placements[0].time + 60);
  CHECK(std::get<ButtJoint>(std::get<Specimen>(written.geometry)).height == 1.0);
  CHECK(case_text(study, row) == case_text(study, row));
}

// 0.1 + 0.2 has no short decimal form: what is written must read back as the same double.
TEST_CASE("numbers pass through a case file unchanged", "[study]") {
  Study study = study_from(heading + height_factor);
  const StudyRow row{1, {Value(0.1 + 0.2)}};
  CHECK(std::get<ButtJoint>(std::get<Specimen>(case_of(study, row).geometry)).height == 0.1 + 0.2);
}

TEST_CASE("alternatives lie over the base and below the keys of other factors", "[study]") {
  const std::string text =
      heading + height_factor +
      "[[factor]]\nname = \"size\"\n[[factor.alternative]]\nname = \"as it is\"\n"
      "[[factor.alternative]]\nname = \"wide\"\n[factor.alternative.set.specimen]\nwidth = "
      "6.0\nheight = 9.0\n";
  const Study study = study_from(text);
  const StudyPlan plan = plan_of(study);
  REQUIRE(plan.rows.size() == 6);
  const auto joint = [&](std::size_t row) {
    return std::get<ButtJoint>(std::get<Specimen>(case_of(study, plan.rows[row]).geometry));
  };
  CHECK(joint(0).width == 4.0);
  CHECK(joint(1).width == 6.0);
  CHECK(joint(1).height == 0.5);
}

TEST_CASE("what is wrong in a study file is said with its place", "[study][errors]") {
  const auto [text, message] = GENERATE(table<std::string, std::string>({
      {"[study]\nbase = \"but-joint\"\n" + wait_factor, "did you mean \"butt-joint\"?"},
      {"[study]\nbase = \"butt-joint\"\ndesign = \"gird\"\n" + wait_factor, "did you mean \"grid\"?"},
      {"[study]\nbase = \"butt-joint\"\ndesign = \"sobol\"\n" + wait_factor, "study.points is missing"},
      {"[study]\nbase = \"butt-joint\"\npoints = 3\n" + wait_factor, "study.points is given"},
      {"[study]\nbase = \"butt-joint\"\ndrop = [\"wiat > 3\"]\n" + wait_factor, "did you mean \"wait\"?"},
      {"[study]\nbase = \"butt-joint\"\ndrop = [\"wait > 'a'\"]\n" + wait_factor, "words can only be equal"},
      {heading + wait_factor + wait_factor, "which is there already"},
      {heading + "[[factor]]\nname = \"status\"\nkey = \"a\"\nvalues = [1]\n", "has for itself"},
      {heading + "[[factor]]\nname = \"a\"\nkey = \"a\"\nvalues = [1, \"x\"]\n", "mix numbers and words"},
      {heading + "[[factor]]\nname = \"a\"\nkey = \"a\"\nvalues = [1]\nfrom = 2\n", "has 2 of these"},
      {heading + "[[factor]]\nname = \"a\"\nkey = \"a[0]\"\nvalues = [1]\n", "from 1"},
      {heading + "[[factor]]\nname = \"a\"\nkey = \"a\"\ndistribution = \"uniform\"\nlow = 2\nhigh = 1\n",
       "factor[1].high is 1"},
      {heading + wait_factor + "[outputs]\nx = \"bond[wall=all\"\n", "bracket that is not closed"},
      {heading + wait_factor + "[outputt]\nx = \"a\"\n", "did you mean \"outputs\"?"},
      {heading, "factor is missing"},
  }));
  CHECK_THROWS_WITH(study_from(text), Contains(message) && Contains("mine.toml:"));
}

TEST_CASE("a key that the case refuses is traced to its factor", "[study][errors]") {
  const Study study =
      study_from(heading + "[[factor]]\nname = \"h\"\nkey = \"specimen.hieght\"\nvalues = [1]\n");
  CHECK_THROWS_WITH(case_of(study, plan_of(study).rows[0]),
                    Contains("mine.toml:4: factor h") && Contains("did you mean \"height\"?"));
}

TEST_CASE("ready-made studies have possible, invented cases", "[study]") {
  const auto files = ready_made_studies();
  CHECK(files.size() >= 4);
  for (const auto& file : files) {
    CAPTURE(file);
    const Study study = read_study(file);
    const StudyPlan plan = plan_of(study);
    for (const StudyRow* row : {&plan.rows.front(), &plan.rows[plan.rows.size() / 2], &plan.rows.back()}) {
      CAPTURE(row->number);
      CHECK(case_of(study, *row).invented);
    }
  }
}

TEST_CASE("outputs are found in the summary by path", "[study]") {
  const auto summary = nlohmann::ordered_json::parse(
      R"({"chair_time_s": 65, "bond": [{"wall": "floor", "substrate": "all", "area_mm2": 4, "end": {"share": 0.25}},
          {"wall": "all", "substrate": "all", "area_mm2": 9, "end": {"share": null}}], "cusps": null})");
  CHECK(value_at(summary, "chair_time_s") == 65);
  CHECK(value_at(summary, "bond[wall=floor, substrate=all].end.share * bond[1].area_mm2") == 1);
  CHECK(value_at(summary, "bond[last].area_mm2") == 9);
  CHECK(std::isnan(value_at(summary, "bond[wall=all].end.share")));
  CHECK(std::isnan(value_at(summary, "cusps.end.both_um")));
  CHECK_THROWS_WITH(value_at(summary, "bond[wall=axial].end.share"), Contains("its walls are: floor, all"));
  CHECK_THROWS_WITH(value_at(summary, "chair_time"), Contains("did you mean \"chair_time_s\"?"));
}

TEST_CASE("outputs have a label and a unit by their place, or as the study gives them", "[study]") {
  struct Told {
    const char *path, *label, *unit, *better;
  };
  for (const Told& told :
       {Told{"bond[wall=floor, substrate=all].highest_p95.stress_to_strength_p95",
             "floor: stress over strength, 95th percentile, highest", "-", "lower"},
        {"bond[wall=all].worst.share_of_whole_at_strength",
         "whole bond: share at strength, at the worst instant", "-", "lower"},
        {"bond[wall=floor,substrate=enamel].end.mean_gap_um", "floor on enamel: gap, mean, at the end", "µm",
         "lower"},
        {"bond[wall=all].end.area_fraction_above_1 * bond[wall=all].area_mm2",
         "whole bond: share of the placed part at strength, at the end times whole bond: area", "mm2", ""},
        {"cusp_deflection.largest.both_um", "movement of both cusps, summed, highest", "µm", "lower"},
        {"cure.increments[increment=1].bottom_over_top",
         "increment 1: conversion at the bottom over that at the top", "-", "higher"},
        {"gaps.end.gaps[number=2].volume_nL", "gap 2: volume, at the end", "nL", "lower"},
        {"tensile_stress_at_events[last].enamel.p95_MPa",
         "enamel: largest principal stress, 95th percentile, at the last event", "MPa", "lower"},
        {"frame.stiffness_N_per_um", "frame: stiffness", "N/µm", ""},
        {"energies_at_end.set_in_mJ", "set in", "mJ", ""},
        {"chair_time_s", "chair time", "s", "lower"}}) {
    const OutputWords words = words_of(told.path);
    CHECK(words.label == told.label);
    CHECK(words.unit == told.unit);
    CHECK(name_of(words.better) == told.better);
  }
  const ScratchFolder scratch;
  const auto outputs_with = [&](const std::string& lines) {
    return read_study(scratch.write("s.toml",
                                    "[study]\nbase = \"butt-joint\"\n[[factor]]\nname = \"h\"\nkey = "
                                    "\"specimen.height\"\nvalues = [1]\n[outputs]\n" +
                                        lines))
        .outputs;
  };
  const Output given =
      outputs_with(
          "x = { place = \"chair_time_s\", label = \"time in the chair\", unit = \"s\", better = "
          "\"higher\" }\n")
          .at(0);
  CHECK(given.path == "chair_time_s");
  CHECK(given.words.label == "time in the chair");
  CHECK(given.words.better == Better::higher);
  CHECK_THROWS_WITH(outputs_with("x = { place = \"chair_time_s\", lable = \"a\" }\n"), Contains("lable"));
  CHECK_THROWS_WITH(outputs_with("x = { place = \"chair_time_s\", better = \"more\" }\n"),
                    Contains("better"));
  CHECK_THROWS_WITH(outputs_with("x = \"bond[floor].area_mm2\"\n"),
                    Contains("s.toml:8: outputs.x") && Contains("conditions such as wall=floor"));
}

TEST_CASE("a factor crossed with draws is run with each of them, the draws being those without it",
          "[study]") {
  const ScratchFolder scratch;
  const auto study_with = [&](const std::string& about, const std::string& plan) {
    return read_study(scratch.write(
        "s.toml",
        "[study]\nbase = \"butt-joint\"\ndesign = \"latin-hypercube\"\npoints = 5\n" + about + plan +
            "[[factor]]\nname = \"h\"\nkey = \"specimen.height\"\ndistribution = \"uniform\"\nlow = "
            "0.5\nhigh = 1.0\n"));
  };
  const std::string plan =
      "[[factor]]\nname = \"plan\"\n[[factor.alternative]]\nname = \"now\"\n[[factor.alternative]]\nname = "
      "\"later\"\n[factor.alternative.set.plan]\nwait = \"5 min\"\n";
  const Study crossed = study_with("cross = \"plan\"\n", plan), alone = study_with("", "");
  const StudyPlan rows = plan_of(crossed), draws = plan_of(alone);
  REQUIRE(rows.rows.size() == 10);
  for (std::size_t r = 0; r < 10; ++r) {
    CHECK(rows.rows[r].point == static_cast<int>(r / 2));
    CHECK(rows.rows[r].block == static_cast<int>(r % 2));
    CHECK(rows.rows[r].values[0] == Value(std::string(r % 2 == 0 ? "now" : "later")));
    CHECK(rows.rows[r].values[1] == draws.rows[r / 2].values[0]);
  }
  CHECK_THROWS_WITH(
      study_with("cross = \"plans\"\n", plan),
      Contains("s.toml:5: study.cross is \"plans\", which is no factor") && Contains("plan, h"));
  CHECK_THROWS_WITH(study_with("cross = \"h\"\n", plan), Contains("drawn from a distribution"));
  CHECK_THROWS_WITH(
      study_with("cross = \"plan\"\n", plan.substr(0, plan.find("[[factor.alternative]]\nname = \"later"))),
      Contains("has one value only"));
  const std::string grid = "[study]\nbase = \"butt-joint\"\ncross = \"plan\"\n" + plan;
  CHECK_THROWS_WITH(read_study(scratch.write("g.toml", grid)), Contains("a design \"grid\" draws nothing"));
}
