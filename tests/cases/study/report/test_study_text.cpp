// What is said of a study whose mesh cannot give percentiles.

#include <catch2/catch.hpp>

#include "cases/study/report/study_text.hpp"

using namespace setstress;
using Catch::Contains;

namespace {

ResultRow done(int number, const std::string& mark) {
  ResultRow row{};
  row.number = number, row.status = RunStatus::done, row.message = mark;
  return row;
}

}  // namespace

TEST_CASE("runs on meshes too coarse for percentiles are counted, the first is named with its mark",
          "[study]") {
  ResultTable table{};
  table.title = "Two plans";
  table.rows = {done(1, ""), done(2, ""), done(3, "")};
  CHECK(coarse_runs_text(table).empty());
  CHECK_THAT(results_text(table), !Contains("marked"));
  table.rows[1].message = "too coarse for percentiles: elements of 1.8 mm";
  table.rows[2].message = "too coarse for percentiles: elements of 2.5 mm";
  CHECK(coarse_runs_text(table) ==
        "2 of 3 runs are marked, such as run 2: too coarse for percentiles: elements of 1.8 mm. Do not judge "
        "by their "
        "percentiles and areas.");
  CHECK_THAT(results_text(table), Contains("2 of 3 runs are marked"));
}

TEST_CASE("a run that failed is no coarse one", "[study]") {
  ResultTable table{};
  table.rows = {done(1, "the mesh could not be made")};
  table.rows[0].status = RunStatus::failed;
  CHECK(coarse_runs_text(table).empty());
  CHECK_THAT(results_text(table), Contains("failed: the mesh could not be made"));
}
