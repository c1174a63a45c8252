// Runs of a study that advance together: the same numbers as alone, however they are spread, killed, or gone
// on with.

#include <signal.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <fstream>
#include <set>
#include <thread>

#include "cases/reader/case_error.hpp"
#include "cases/study/table/result_table.hpp"
#include "cases/study/table/sqlite.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace study_lanes {
namespace {

const std::string file = SETSTRESS_STUDY_FILES "/side-by-side.toml";
constexpr std::size_t runs = 32;

ResultTable made(const ScratchFolder& scratch, const std::string& options) {
  const Ended ended = run_program("study '" + file + "' --out . --quiet " + options, scratch.path());
  if (ended.code != 0) throw std::runtime_error(ended.output);
  return read_results(scratch / "side-by-side.sqlite");
}

/// In lanes, undisturbed.
const ResultTable& undisturbed() {
  static const ResultTable table = [] {
    const ScratchFolder scratch;
    return made(scratch, "--jobs 1");
  }();
  return table;
}

bool same_outputs(const ResultTable& a, const ResultTable& b) {
  return std::ranges::equal(a.rows, b.rows, [](const ResultRow& one, const ResultRow& other) {
    return one.status == RunStatus::done && one.status == other.status && one.outputs == other.outputs;
  });
}

std::ptrdiff_t count_in_lanes(const ResultTable& table) {
  return std::ranges::count_if(table.rows, [](const ResultRow& row) { return row.lanes > 0; });
}

std::ptrdiff_t done_in(const std::filesystem::path& database) {
  if (!std::filesystem::exists(database)) return 0;
  try {
    return std::ranges::count(read_results(database).rows, RunStatus::done, &ResultRow::status);
  } catch (const CaseError&) {  // being made
    return 0;
  }
}

/// Waits for what `look` wants to see; a minute at most.
template <typename Look>
void wait_for(const Look& look) {
  for (int waited = 0; waited < 6000 && !look(); ++waited)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
}

std::vector<pid_t> children_of(pid_t parent) {
  const std::string task = std::to_string(parent);
  std::ifstream list("/proc/" + task + "/task/" + task + "/children");
  std::vector<pid_t> children;
  for (pid_t child = 0; list >> child;) children.push_back(child);
  return children;
}

}  // namespace

TEST_CASE("runs of a study in lanes have the numbers of runs alone, and say how they were made", "[study]") {
  const ScratchFolder scratch;
  const ResultTable alone = made(scratch, "--lanes off");
  const ResultTable& together = undisturbed();
  CHECK(count_in_lanes(alone) == 0);
  CHECK(count_in_lanes(together) == runs);
  CHECK_FALSE(same_outputs(alone, together));  // last digits
  for (std::size_t row = 0; row < runs; ++row)
    for (std::size_t output = 0; output < alone.outputs.size(); ++output) {
      const double one = alone.rows[row].outputs[output], other = together.rows[row].outputs[output];
      INFO("row " << row + 1 << ", output " << output);
      CHECK(std::abs(one - other) < 1e-6 * std::abs(one));
    }
}

TEST_CASE("a study in lanes has the same bits in parts, in fewer lanes and after a kill", "[study]") {
  const ScratchFolder scratch;
  const auto part = scratch / "side-by-side-work/shards/side-by-side-1-of-2.sqlite";
  const pid_t killed = start_program(
      {"study", "work", file, "--out", ".", "--quiet", "--jobs", "2", "--shard", "1/2", "--lanes", "8"},
      scratch.path());
  wait_for([&] { return done_in(part) > 0; });
  kill(killed, SIGKILL);
  (void)exit_code(killed);
  const std::ptrdiff_t kept = done_in(part);
  CHECK(kept >= 1);
  CHECK(kept < static_cast<std::ptrdiff_t>(runs / 2));
  for (const char* shard : {"1/2", "2/2"})
    REQUIRE(run_program("study work '" + file + "' --out . --quiet --shard " + shard, scratch.path()).code ==
            0);
  REQUIRE(run_program("study collect '" + file + "' --out .", scratch.path()).code == 0);
  CHECK(same_outputs(read_results(scratch / "side-by-side.sqlite"), undisturbed()));
  std::set<std::string> leaders;
  const Database source(scratch / "side-by-side.sqlite", Database::Access::read);
  for (Statement rows = source.prepare("SELECT led_by FROM runs"); rows.step();) leaders.insert(rows.text(0));
  CHECK(leaders == std::set<std::string>{undisturbed().rows.front().case_sum});
}

TEST_CASE("without a GPU a study that asks for one says so and has the bits of the processor", "[study]") {
  if (why_no_gpu().empty()) return;  // what a GPU finds is compared in solver/bench
  const ScratchFolder scratch;
  const std::string part = "study work '" + file + "' --out . --quiet --shard 1/8 --device ";
  const Ended ended = run_program(part + "gpu", scratch.path());
  CHECK(ended.code == 0);
  CHECK_THAT(ended.output, Contains("--device gpu: no GPU can be used: " + why_no_gpu()) &&
                               Contains("the processor is used"));
  const auto database = scratch / "side-by-side-work/shards/side-by-side-1-of-8.sqlite";
  int made = 0;
  for (const ResultRow& row : read_results(database).rows) {
    if (row.status != RunStatus::done) continue;
    ++made;
    CHECK(row.outputs == undisturbed().rows.at(static_cast<std::size_t>(row.number - 1)).outputs);
    CHECK(row.lanes > 0);
    CHECK_FALSE(row.on_gpu);
  }
  CHECK(made == static_cast<int>(runs / 8));
  const Database source(database, Database::Access::read);
  Statement machines = source.prepare("SELECT DISTINCT machine FROM runs WHERE status = 'done'");
  REQUIRE(machines.step());
  CHECK(machines.text(0) == "processor");
  CHECK_FALSE(machines.step());
  const Ended more = run_program(part + "cpu --lanes 64", scratch.path());
  CHECK(more.code != 0);
  CHECK_THAT(more.output, Contains("--lanes 64: on the processor 8, 16 or 32"));
}

TEST_CASE("of runs in lanes whose process dies each is made alone", "[study]") {
  const ScratchFolder scratch;
  const pid_t study = start_program({"study", file, "--out", ".", "--quiet", "--jobs", "1"}, scratch.path());
  wait_for([&] { return !children_of(study).empty(); });
  for (const pid_t child : children_of(study)) kill(child, SIGKILL);
  CHECK(exit_code(study) == 0);
  const ResultTable table = read_results(scratch / "side-by-side.sqlite");
  CHECK(done_in(scratch / "side-by-side.sqlite") == runs);
  CHECK(count_in_lanes(table) == runs - 8);  // the first group, small as its memory is not known
}

}  // namespace study_lanes
