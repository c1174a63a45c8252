#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>

#include "cases/study/design/case_sum.hpp"
#include "cases/study/table/study_database.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace study_database {
namespace {

struct Prepared {
  Study study;
  StudyPlan plan;
};

Prepared prepared(const ScratchFolder& scratch, const std::string& waits = "[0, 60, 300, 600]") {
  const Study study = read_study(scratch.write(
      "s.toml",
      "[study]\nbase = \"butt-joint\"\n[[factor]]\nname = \"wait\"\nkey = \"plan.increment[1].wait\"\n"
      "values = " +
          waits + "\n[outputs]\nratio = \"bond[wall=all].end.stress_to_strength_p95\"\n"));
  return {study, plan_of(study)};
}

RunRecord done(double ratio, double seconds = 1) {
  RunRecord record;
  record.status = RunStatus::done;
  record.outputs = {ratio};
  record.seconds = seconds;
  return record;
}

RunRecord failed(const std::string& message) {
  RunRecord record;
  record.message = message;
  return record;
}

/// The table without its seconds.
std::string table_in(const std::filesystem::path& file) {
  ResultTable table = read_results(file);
  for (ResultRow& row : table.rows) row.seconds = 0;
  return as_csv(table);
}

}  // namespace

TEST_CASE("a database gives back what was put in, to the last bit", "[study]") {
  const ScratchFolder scratch;
  const auto [study, plan] = prepared(scratch);
  const double ratio = 0.1 + 0.2;
  {
    StudyDatabase database = StudyDatabase::open(scratch / "s.sqlite", study, plan);
    database.record(2, done(ratio));
    database.record(3, failed("no equilibrium, \"at\" 12 s"));
    database.record(4, done(std::numeric_limits<double>::quiet_NaN()));
  }
  StudyDatabase database = StudyDatabase::open(scratch / "s.sqlite", study, plan);
  CHECK(database.rows_with(RunStatus::planned) == std::vector<int>{1});
  const ResultTable table = read_results(scratch / "s.sqlite");
  REQUIRE(table.rows.size() == 4);
  CHECK(table.rows[1].outputs[0] == ratio);
  CHECK(table.rows[1].inputs[0] == Value(60.0));
  CHECK(table.rows[2].message == "no equilibrium, \"at\" 12 s");
  CHECK(std::isnan(table.rows[3].outputs[0]));
  CHECK_THAT(as_csv(table), Contains("3,0,2,300,,failed,\"no equilibrium, \"\"at\"\" 12 s\","));
  CHECK(database.retry_failed() == 1);
  CHECK(database.rows_with(RunStatus::planned) == std::vector<int>{1, 3});
}

TEST_CASE("parts merged in any order give the same table", "[study]") {
  const ScratchFolder scratch;
  const auto [study, plan] = prepared(scratch);
  std::vector<std::filesystem::path> parts;
  const std::vector<std::vector<std::pair<int, RunRecord>>> contents{{{1, done(1.5)}, {2, failed("killed")}},
                                                                     {{2, done(2.5)}, {3, failed("b")}},
                                                                     {{3, failed("a")}, {1, done(1.5, 9)}}};
  for (const auto& content : contents) {
    StudyDatabase part = StudyDatabase::in_memory(study, plan);
    for (const auto& [row, record] : content) part.record(row, record);
    parts.push_back(scratch / ("part" + std::to_string(parts.size()) + ".sqlite"));
    part.publish(parts.back());
  }
  std::vector<std::size_t> order{0, 1, 2};
  std::string first;
  do {
    const auto file = scratch / "merged.sqlite";
    {
      StudyDatabase merged = StudyDatabase::open(file, study, plan);
      for (const std::size_t part : order) merged.merge(parts[part]);
      CHECK(merged.merge(parts[0]) == 0);  // nothing new the second time
    }
    if (first.empty()) first = table_in(file);
    CHECK(table_in(file) == first);
    std::filesystem::remove(file);
  } while (std::next_permutation(order.begin(), order.end()));
  CHECK_THAT(first, Contains("2,0,1,60,2.5,done") && Contains("failed,a,"));
}

TEST_CASE("a file that is no table of this study is refused and left as it is", "[study][errors]") {
  const ScratchFolder scratch;
  const auto [study, plan] = prepared(scratch);
  const auto file = scratch / "s.sqlite";
  const auto bytes = [&] {
    std::ifstream in(file, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {});
  };
  SECTION("not a database") {
    scratch.write("s.sqlite", std::string(5000, 'x'));
    const std::string before = bytes();
    CHECK_THROWS_WITH(StudyDatabase::open(file, study, plan), Contains("not a database"));
    CHECK_THROWS_AS(read_results(file), CaseError);
    CHECK(bytes() == before);
  }
  SECTION("a database of something else") {
    Database(file, Database::Access::write).run("CREATE TABLE letters (a TEXT)");
    const std::string before = bytes();
    CHECK_THROWS_WITH(StudyDatabase::open(file, study, plan),
                      Contains("none that a study of setstress wrote"));
    CHECK(bytes() == before);
  }
  SECTION("cut off before its first table") {
    Database(file, Database::Access::write).run("PRAGMA journal_mode = WAL");
    CHECK_THROWS_WITH(read_results(file), Contains("no table yet"));
    CHECK_NOTHROW(StudyDatabase::open(file, study, plan));
    CHECK_NOTHROW(read_results(file));
  }
  SECTION("damaged in the middle") {
    {
      StudyDatabase part = StudyDatabase::in_memory(study, plan);
      part.publish(file);
    }
    std::fstream damage(file, std::ios::binary | std::ios::in | std::ios::out);
    damage.seekp(4096);
    damage << std::string(4096, 'x');
    damage.close();
    CHECK_THROWS_WITH(StudyDatabase::open(file, study, plan), Contains("damaged"));
  }
  SECTION("cut off") {
    StudyDatabase::in_memory(study, plan).publish(file);
    std::filesystem::resize_file(file, std::filesystem::file_size(file) / 2);
    CHECK_THROWS_WITH(StudyDatabase::open(file, study, plan), Contains("damaged"));
  }
  SECTION("a part of the same study before it was changed") {
    StudyDatabase::in_memory(study, plan).publish(file);
    const auto [changed, changed_plan] = prepared(scratch, "[0, 61, 300, 600]");
    CHECK_THROWS_WITH(StudyDatabase::in_memory(changed, changed_plan).merge(file),
                      Contains("before it was changed"));
  }
}

namespace {

/// A study of waits (and, where `more` says so, of other things), on top of `base`.
Prepared grown(const ScratchFolder& scratch, const std::string& waits, const std::string& more = "",
               const std::string& base = "base = \"butt-joint\"\n") {
  const Study study = read_study(scratch.write(
      "s.toml", "[study]\n" + base + more +
                    "[[factor]]\nname = \"wait\"\nkey = \"plan.increment[1].wait\"\nvalues = " + waits +
                    "\n[outputs]\nratio = \"bond[wall=all].end.stress_to_strength_p95\"\n"));
  return {study, plan_of(study)};
}

/// A record as RowRunner makes it.
RunRecord done_of(const Prepared& of, int row, double ratio) {
  RunRecord record = done(ratio);
  record.case_sum = case_sum(case_of(of.study, of.plan.rows[static_cast<std::size_t>(row - 1)]));
  return record;
}

}  // namespace

TEST_CASE("a study that grows keeps the runs that were made", "[study]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite";
  {
    const Prepared before = grown(scratch, "[0, 60]");
    StudyDatabase database = StudyDatabase::open(file, before.study, before.plan);
    CHECK_FALSE(database.taken_over());
    database.record(1, done_of(before, 1, 1.5));
    database.record(2, done_of(before, 2, 2.5));
  }
  // Another level, and a factor among whose values is the one of the base case, written or by default.
  const std::string more =
      GENERATE(as<std::string>{},
               "[[factor]]\nname = \"lamp\"\nkey = \"plan.light[1].irradiance\"\nvalues = [1000, 1200]\n",
               "[[factor]]\nname = \"early\"\nkey = \"bond.strength_maturity.at_once\"\nvalues = [0.4, 0.5]\n"
               "[set.bond.strength_maturity]\nlaw = \"chairside-rule\"\n");
  INFO(more);
  const Prepared after = grown(scratch, "[0, 30, 60]", more);
  StudyDatabase database = StudyDatabase::open(file, after.study, after.plan);
  REQUIRE(database.taken_over());
  CHECK(database.taken_over()->runs == 2);
  const std::vector<int> left = database.rows_with(RunStatus::planned);
  CHECK(left.size() == 4);
  for (const ResultRow& row : read_results(file).rows)
    if (row.status == RunStatus::done) CHECK(row.outputs[0] == (row.inputs.back() == Value(0.0) ? 1.5 : 2.5));
  CHECK_FALSE(StudyDatabase::open(file, after.study, after.plan).taken_over());  // it is the study now
}

TEST_CASE("a study that lost what was run is refused, and the sentence says what", "[study][errors]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite";
  const Prepared before = grown(scratch, "[0, 60]");
  {
    StudyDatabase database = StudyDatabase::open(file, before.study, before.plan);
    database.record(2, done_of(before, 2, 2.5));
  }
  const auto refusal = [&](const Prepared& after) {
    try {
      (void)StudyDatabase::open(file, after.study, after.plan);
    } catch (const CaseError& error) {
      return std::string(error.what());
    }
    return std::string("not refused");
  };
  CHECK_THAT(refusal(grown(scratch, "[0, 61]")),
             Contains("factor wait no longer takes the value 60 (row 2 there)") &&
                 Contains("or move the file away to start anew"));
  CHECK_THAT(
      refusal(grown(scratch, "[0, 60]",
                    "[[factor]]\nname = \"lamp\"\nkey = \"plan.light[1].irradiance\"\nvalues = [900]\n")),
      Contains("factor lamp is new"));
  CHECK_THAT(refusal(grown(scratch, "[0, 60]", "", "base = \"disc-between-plates\"\n")),
             Contains("the base case, [set] or an alternative is another one"));
  Prepared other = before;
  other.study.outputs[0].path = "chair_time_s";
  CHECK_THAT(refusal(other),
             Contains("output ratio = \"chair_time_s\" is new, and no summary was kept of 1 of "
                      "the runs that were made, such as run 2") &&
                 Contains("or move the file away to start anew"));
  const Study higher = read_study(scratch.write(
      "s.toml",
      "[study]\nbase = \"butt-joint\"\n[[factor]]\nname = \"height\"\nkey = \"specimen.height\"\nvalues = "
      "[2.0]\n[outputs]\nratio = \"bond[wall=all].end.stress_to_strength_p95\"\n"));
  CHECK_THAT(refusal({higher, plan_of(higher)}),
             Contains("factor wait is there no more (wait = 60 in row 2 there)"));
  CHECK(refusal(grown(scratch, "[60]")) == "not refused");  // row 1 was not made yet
}

TEST_CASE("where no run is done another output turns nobody away", "[study]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite";
  const Prepared before = grown(scratch, "[0, 60]");
  {
    StudyDatabase database = StudyDatabase::open(file, before.study, before.plan);
    RunRecord failed;
    failed.status = RunStatus::failed;
    failed.message = "output ratio: there is no such number";
    failed.case_sum = case_sum(case_of(before.study, before.plan.rows[0]));
    database.record(1, failed);
  }
  Prepared corrected = before;
  corrected.study.outputs[0].path = "chair_time_s";
  const StudyDatabase database = StudyDatabase::open(file, corrected.study, corrected.plan);
  CHECK(database.rows_with(RunStatus::planned).size() == 2);
}

namespace {

Prepared with_outputs(Prepared of, const std::vector<std::pair<std::string, std::string>>& outputs) {
  of.study.outputs.clear();
  for (const auto& [name, path] : outputs) of.study.outputs.push_back({name, path, ""});
  return of;
}

constexpr const char* ratio_path = "bond[wall=all].end.stress_to_strength_p95";

/// Of a run that was made with a summary.
RunRecord done_with_summary(const Prepared& of, int row, double ratio, double chair) {
  const nlohmann::ordered_json summary{
      {"bond", {{{"wall", "all"}, {"end", {{"stress_to_strength_p95", ratio}}}}}}, {"chair_time_s", chair}};
  const OutputValues outputs = values_of(of.study.outputs, summary);
  RunRecord record = done_of(of, row, ratio);
  record.outputs = outputs.values;
  record.missing = outputs.missing;
  record.summary = summary.dump();
  if (outputs.found == 0) record.status = RunStatus::failed;
  return record;
}

}  // namespace

TEST_CASE("a finished study takes another output from the summaries that it kept, to the last bit",
          "[study]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite";
  const Prepared before = grown(scratch, "[0, 60]");
  const double ratio = 0.1 + 0.2, chair = 1e5 / 3;
  {
    StudyDatabase database = StudyDatabase::open(file, before.study, before.plan);
    database.record(1, done_with_summary(before, 1, ratio, chair));
    database.record(2, done_with_summary(before, 2, 2 * ratio, 2 * chair));
  }
  // One more, one renamed, one of which the summaries know nothing.
  const Prepared after = with_outputs(
      before, {{"chair", "chair_time_s"}, {"load", ratio_path}, {"floor", "bond[wall=floor].area_mm2"}});
  StudyDatabase database = StudyDatabase::open(file, after.study, after.plan);
  REQUIRE(database.taken_over());
  CHECK(database.taken_over()->runs == 2);
  CHECK(database.taken_over()->outputs == std::vector<std::string>{"chair", "floor"});
  CHECK(database.taken_over()->summaries == 2);
  CHECK(database.rows_with(RunStatus::planned).empty());
  const ResultTable table = read_results(file);
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[0].outputs.at(0) == chair);
  CHECK(table.rows[1].outputs.at(0) == 2 * chair);
  CHECK(table.rows[1].outputs.at(1) == 2 * ratio);
  CHECK(std::isnan(table.rows[1].outputs.at(2)));
  CHECK_THAT(table.rows[1].missing, Contains("output floor: \"bond\" in the summary has no element"));
}

TEST_CASE("a run without any of its outputs has failed until these are corrected", "[study]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite";
  const Prepared right = grown(scratch, "[0, 60]");
  const Prepared wrong = with_outputs(right, {{"ratio", "bond[wall=floor].area_mm2"}});
  {
    StudyDatabase database = StudyDatabase::open(file, wrong.study, wrong.plan);
    database.record(1, done_with_summary(wrong, 1, 0.5, 20));
  }
  CHECK_THAT(read_results(file).rows[0].message, Contains("output ratio: "));
  const StudyDatabase database = StudyDatabase::open(file, right.study, right.plan);
  CHECK(database.rows_with(RunStatus::done) == std::vector<int>{1});
  CHECK(read_results(file).rows[0].outputs[0] == 0.5);
}

TEST_CASE("a table of before summaries were kept is read, gone on with, and says what it cannot do",
          "[study][errors]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite", part = scratch / "part.sqlite";
  const Prepared before = grown(scratch, "[0, 60]");
  for (const auto& made : {file, part}) {
    {
      StudyDatabase database = StudyDatabase::in_memory(before.study, before.plan);
      database.record(made == file ? 1 : 2, done_of(before, made == file ? 1 : 2, 1.5));
      database.publish(made);
    }
    Database old(made, Database::Access::write);
    for (const char* column : {"summary_zlib", "outputs_missing", "lanes", "led_by", "machine"})
      old.run(std::string("ALTER TABLE runs DROP COLUMN ") + column);
    old.run("PRAGMA user_version = 2");
  }
  CHECK(read_results(file).rows[0].outputs[0] == 1.5);
  const Prepared after = with_outputs(before, {{"ratio", ratio_path}, {"chair", "chair_time_s"}});
  CHECK_THROWS_WITH(StudyDatabase::open(file, after.study, after.plan),
                    Contains("output chair = \"chair_time_s\" is new, and no summary was kept of 1") &&
                        Contains("such as run 1") && Contains("move the file away to start anew"));
  StudyDatabase database = StudyDatabase::open(file, before.study, before.plan);
  CHECK(database.merge(part) == 1);
  CHECK(database.rows_with(RunStatus::done) == std::vector<int>{1, 2});
}

TEST_CASE("a table of before runs advanced together is read and gone on with", "[study]") {
  const ScratchFolder scratch;
  const auto file = scratch / "s.sqlite", part = scratch / "part.sqlite";
  const Prepared study = grown(scratch, "[0, 60]");
  for (const auto& made : {file, part}) {
    {
      StudyDatabase database = StudyDatabase::in_memory(study.study, study.plan);
      database.record(made == file ? 1 : 2, done_with_summary(study, made == file ? 1 : 2, 0.5, 20));
      database.publish(made);
    }
    Database old(made, Database::Access::write);
    for (const char* column : {"lanes", "led_by", "machine"})
      old.run(std::string("ALTER TABLE runs DROP COLUMN ") + column);
    old.run("PRAGMA user_version = 3");
  }
  CHECK(read_results(file).rows[0].outputs[0] == 0.5);
  CHECK(read_results(file).rows[0].lanes == 0);
  StudyDatabase database = StudyDatabase::open(file, study.study, study.plan);
  CHECK(database.merge(part) == 1);
  CHECK(database.table().rows[1].has_summary);
}

}  // namespace study_database
