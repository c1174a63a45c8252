// Studies run by the program itself: killed, started twice, cut into parts.

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <random>
#include <thread>

#include "cases/study/table/result_table.hpp"
#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

const std::string joints = "'" SETSTRESS_STUDY_FILES "/small-joints.toml'";

/// The table in `folder` without its seconds, which alone may differ from run to run.
std::string table_in(const std::filesystem::path& folder) {
  ResultTable table = read_results(folder / "small-joints.sqlite");
  for (ResultRow& row : table.rows) row.seconds = 0;
  return as_csv(table);
}

/// The table of a study that nobody disturbed.
const std::string& undisturbed() {
  static const std::string table = [] {
    const ScratchFolder scratch;
    const Ended ended = run_program("study " + joints + " --out here --jobs 1 --quiet", scratch.path());
    if (ended.code != 0) throw std::runtime_error(ended.output);
    return table_in(scratch / "here");
  }();
  return table;
}

/// `setstress study ...`, going on by itself.
pid_t started(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), {SETSTRESS_PROGRAM, "study"});
  std::vector<char*> words;
  for (std::string& argument : arguments) words.push_back(argument.data());
  words.push_back(nullptr);
  pid_t process = 0;
  if (posix_spawn(&process, SETSTRESS_PROGRAM, nullptr, nullptr, words.data(), environ) != 0)
    throw std::runtime_error("the program cannot be started");
  return process;
}

int ended(pid_t process) {
  int status = 0;
  waitpid(process, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

void pause_for(int milliseconds) {
  std::this_thread::sleep_for(std::chrono::milliseconds(milliseconds));
}

std::size_t done_in(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file)) return 0;
  ResultTable table;
  try {
    table = read_results(file);
  } catch (const CaseError& error) {  // killed before anything was there
    if (std::string(error.what()).find("has no table yet") == std::string::npos) throw;
  }
  return static_cast<std::size_t>(
      std::count_if(table.rows.begin(), table.rows.end(),
                    [](const ResultRow& row) { return row.status == RunStatus::done; }));
}

}  // namespace

TEST_CASE("a study killed at random moments ends with the table of an undisturbed one", "[study]") {
  const unsigned seed = GENERATE(1U, 2U);
  CAPTURE(seed);
  const ScratchFolder scratch;
  std::mt19937 generator(seed);
  const auto database = scratch / "small-joints.sqlite";
  std::size_t before = 0;
  for (int kill_number = 0; kill_number < 5; ++kill_number) {
    const pid_t study =
        started({SETSTRESS_STUDY_FILES "/small-joints.toml", "--out", scratch.path(), "--quiet"});
    pause_for(100 + static_cast<int>(generator() % 900));
    kill(study, SIGKILL);
    (void)ended(study);
    const std::size_t now =
        std::filesystem::exists(database) && std::filesystem::file_size(database) > 0 ? done_in(database) : 0;
    CHECK(now >= before);  // nothing that was done is lost
    before = now;
  }
  const Ended rest = run_program("study " + joints + " --out . --quiet", scratch.path());
  CHECK(rest.code == 0);
  CHECK_FALSE(std::filesystem::exists(scratch / "small-joints.sqlite-wal"));  // one file to copy
  CHECK(table_in(scratch.path()) == undisturbed());
}

TEST_CASE("Ctrl-C stops a study with exit 1, and the same command goes on", "[study]") {
  const ScratchFolder scratch;
  const pid_t study =
      started({SETSTRESS_STUDY_FILES "/small-joints.toml", "--out", scratch.path(), "--quiet"});
  for (int waited = 0; waited < 600 && !std::filesystem::exists(scratch / "small-joints-work/meshes");
       ++waited)
    pause_for(10);
  kill(study, SIGINT);
  CHECK(ended(study) == 1);
  CHECK(done_in(scratch / "small-joints.sqlite") < 24);
  CHECK(run_program("study " + joints + " --out . --quiet", scratch.path()).code == 0);
  CHECK(table_in(scratch.path()) == undisturbed());
}

TEST_CASE("a second program on the same study is turned away", "[study][errors]") {
  const ScratchFolder scratch;
  const pid_t study =
      started({SETSTRESS_STUDY_FILES "/small-joints.toml", "--out", scratch.path(), "--quiet"});
  for (int waited = 0; waited < 600 && !std::filesystem::exists(scratch / "small-joints-work/meshes");
       ++waited)
    pause_for(10);
  kill(study, SIGSTOP);  // held where it is, however slow the second one is to start
  const Ended second = run_program("study " + joints + " --out . --quiet", scratch.path());
  kill(study, SIGCONT);
  CHECK(second.code == 1);
  CHECK_THAT(second.output, Contains("is at work on this study already"));
  CHECK(ended(study) == 0);
}

TEST_CASE("parts give the same table, with two workers on one of them and another killed", "[study]") {
  const ScratchFolder scratch;
  const auto work_on = [&](const char* shard) {
    return started({"work", SETSTRESS_STUDY_FILES "/small-joints.toml", "--out", scratch.path(), "--shard",
                    shard, "--jobs", "1", "--quiet"});
  };
  const auto third = scratch / "small-joints-work/shards/small-joints-3-of-3.sqlite";
  const pid_t one = work_on("1/3"), other = work_on("1/3");
  CHECK(ended(one) == 0);
  CHECK(ended(other) == 0);
  CHECK(ended(work_on("2/3")) == 0);
  const pid_t killed = work_on("3/3");
  while (done_in(third) == 0) pause_for(5);
  kill(killed, SIGKILL);
  (void)ended(killed);
  const std::size_t kept = done_in(third);
  CHECK((kept >= 1 && kept < 8));
  CHECK(ended(work_on("3/3")) == 0);
  const Ended listed = run_program("study list " + joints + " --out .", scratch.path());
  CHECK_THAT(listed.output, Contains("24 runs are in 3 parts not collected yet") && Contains("24 done"));
  CHECK(!std::filesystem::exists(scratch / "small-joints.sqlite"));  // listed, not collected
  const Ended collected = run_program("study collect " + joints + " --out .", scratch.path());
  CHECK(collected.code == 0);
  CHECK_THAT(collected.output, Contains("24 runs taken from 3 parts"));
  CHECK(table_in(scratch.path()) == undisturbed());
}

TEST_CASE("a part that is no database is left out of the table, and said", "[study][errors]") {
  const ScratchFolder scratch;
  std::filesystem::create_directories(scratch / "small-joints-work/shards");
  scratch.write("small-joints-work/shards/small-joints-1-of-2.sqlite",
                "not a database, but long enough to be read");
  const Ended collected = run_program("study collect " + joints + " --out .", scratch.path());
  CHECK(collected.code == 2);
  CHECK_THAT(collected.output, Contains("left out: ") && Contains("small-joints-1-of-2.sqlite"));
  CHECK_THAT(run_program("study work " + joints + " --out . --shard 1/2", scratch.path()).output,
             Contains("not a database"));
}

TEST_CASE("runs that fail or are refused stop nothing, are listed, and can be made again", "[study]") {
  const ScratchFolder scratch;
  scratch.write("mixed.toml",
                "[study]\nbase = \"butt-joint\"\n"
                "[[factor]]\nname = \"plates\"\nkey = \"specimen.adherend_height\"\nvalues = [-1, 0, 1]\n"
                "[set.mesh]\nfineness = 1.0\n"
                "[outputs]\nratio = \"bond[wall=all].end.stress_to_strength_p95\"\n");
  const Ended first = run_program("study mixed.toml", scratch.path());
  CHECK(first.code == 0);
  CHECK_THAT(first.output, Contains("1 done, 1 failed, 1 refused, 0 not made yet"));
  CHECK_THAT(first.output, Contains("row 1 refused: ") && Contains("mixed.toml:4: factor plates = -1"));
  CHECK_THAT(first.output, Contains("row 2 failed: output ratio: \"bond\" in the summary has no element"));
  CHECK_THAT(run_program("study mixed.toml", scratch.path()).output, Contains("0 runs done, 0 failed"));
  CHECK_THAT(run_program("study mixed.toml --retry", scratch.path()).output,
             Contains("0 runs done, 1 failed"));
  CHECK_THAT(run_program("study list mixed.toml", scratch.path()).output, Contains("row 2 failed"));
}

TEST_CASE("a failed pilot is told, and a rule that leaves nothing out is refused", "[study][errors]") {
  const ScratchFolder scratch;
  const std::string text =
      "base = \"butt-joint\"\n[[factor]]\nname = \"plates\"\nkey = \"specimen.adherend_height\"\nvalues = "
      "[0, 1]\n"
      "[set.mesh]\nfineness = 1.0\n[outputs]\nratio = \"bond[wall=all].end.stress_to_strength_p95\"\n";
  scratch.write("pilot.toml", "[study]\n" + text);
  const Ended pilot = run_program("study plan pilot.toml", scratch.path());
  CHECK(pilot.code == 0);
  CHECK_THAT(pilot.output, Contains("the run made to learn what runs take has failed; row 1: output ratio"));
  scratch.write("rule.toml", "[study]\ndrop = [\"plates > 1\"]\n" + text);
  const Ended rule = run_program("study plan rule.toml", scratch.path());
  CHECK(rule.code == 2);
  CHECK_THAT(rule.output, Contains("rule.toml: study.drop \"plates > 1\" holds for no combination"));
  CHECK(run_program("study pilot.toml --shards 3", scratch.path()).code == 2);
}

TEST_CASE("an output added to a finished study has the bits that it would have from the start", "[study]") {
  const ScratchFolder scratch;
  const auto study_with = [&](const std::string& name, const std::string& outputs) {
    scratch.write(name + ".toml",
                  "[study]\nbase = \"butt-joint\"\n[[factor]]\nname = \"wait\"\nkey = "
                  "\"plan.increment[1].wait\"\nvalues = [0, 60]\n[set.mesh]\nfineness = 1.0\n[outputs]\n" +
                      outputs);
    const Ended ended = run_program("study " + name + ".toml", scratch.path());
    CHECK(ended.code == 0);
    return ended.output;
  };
  const std::string ratio = "ratio = \"bond[wall=all].end.stress_to_strength_p95\"\n";
  const std::string more = "energy = \"energies_at_end.set_in_mJ * bond[wall=lower].area_mm2\"\n";
  (void)study_with("late", ratio);
  const std::string said = study_with("late", ratio + more);
  CHECK_THAT(said, Contains("2 runs are taken over") && Contains("0 runs done, 0 failed"));
  CHECK_THAT(said, Contains("Outputs taken from the summaries kept of 2 runs, without solving: energy\n"));
  (void)study_with("early", ratio + more);
  ResultTable late = read_results(scratch / "late.sqlite"), early = read_results(scratch / "early.sqlite");
  for (ResultTable* table : {&late, &early})
    for (ResultRow& row : table->rows) row.seconds = 0;
  CHECK(as_csv(late) == as_csv(early));
  CHECK_THAT(study_with("late", more), Contains("2 runs are taken over"));  // and one less
}

TEST_CASE("a row written as a case file gives the numbers of the table", "[study]") {
  const ScratchFolder scratch;
  REQUIRE(run_program("study case " + joints + " 7 > row.toml", scratch.path()).code == 0);
  REQUIRE(run_program("run row.toml --quiet --out result --threads 1", scratch.path()).code == 0);
  const auto summary = json_of(scratch / "result/summary.json");
  const double ratio = summary.at("bond").back().at("end").at("stress_to_strength_p95");
  REQUIRE(summary.at("bond").back().at("wall") == "all");
  REQUIRE(run_program("study " + joints + " --out . --quiet", scratch.path()).code == 0);
  const ResultTable table = read_results(scratch / "small-joints.sqlite");
  const auto column = std::find_if(table.outputs.begin(), table.outputs.end(),
                                   [](const OutputColumnInfo& output) { return output.name == "ratio"; });
  CHECK(table.rows[6].outputs[static_cast<std::size_t>(column - table.outputs.begin())] == ratio);
}

TEST_CASE("a job array asks the cluster for time and memory from the pilot run", "[study]") {
  const ScratchFolder scratch;
  const Ended ended = run_program("study " + joints +
                                      " --out . --on slurm --shards 5 --account teeth --partition long "
                                      "--sbatch=--qos=low --no-submit",
                                  scratch.path());
  REQUIRE(ended.code == 0);
  CHECK_THAT(ended.output, Contains("23 runs left, 5 parts"));  // the pilot's result is kept
  const std::string script = content(scratch / "small-joints-work/jobs/small-joints.sh");
  for (const char* line :
       {"#SBATCH --array=1-5\n", "#SBATCH --account=teeth\n", "#SBATCH --partition=long\n",
        "#SBATCH --qos=low\n", "#SBATCH --requeue\n", "#SBATCH --time=0-00:", "#SBATCH --mem="})
    CHECK_THAT(script, Contains(line));
}
