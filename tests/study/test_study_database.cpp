#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>

#include "cases/study/study_database.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

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
  SECTION("the same study before it was changed") {
    StudyDatabase::in_memory(study, plan).publish(file);
    const auto [changed, changed_plan] = prepared(scratch, "[0, 61, 300, 600]");
    CHECK_THROWS_WITH(StudyDatabase::open(file, changed, changed_plan), Contains("was changed since"));
    CHECK_THROWS_WITH(StudyDatabase::in_memory(changed, changed_plan).merge(file),
                      Contains("before it was changed"));
  }
}
