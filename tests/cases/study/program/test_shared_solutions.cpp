// Runs that share a solution must have the numbers of runs on their own, to the last bit.

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/run/kept_run.hpp"
#include "cases/study/design/run_order.hpp"
#include "cases/study/runs/savings.hpp"
#include "cases/study/runs/study_run.hpp"
#include "solver/run/shared_mesh.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

/// A coarse joint, its first increment placed after 30 s; invented. `more` is laid over it.
Case joint(const std::string& more) {
  const ScratchFolder folder;
  Case input = read_case(folder.write("joint.toml", R"([specimen]
kind = "butt-joint"
adherend_height = 1.0
[mesh]
fineness = 0.5
[[hold]]
surface = "bottom"
[[hold]]
surface = "top"
[plan]
end = "30 s"
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
[[plan.increment]]
layer = "horizontal"
thickness = 0.5
wait = 30
[[plan.increment]]
wait = 10
)"));
  if (!more.empty()) input = read_case(folder.write("other.toml", "base = \"joint.toml\"\n" + more));
  input.solver.threads = 1;
  return input;
}

/// Another wait before the first increment.
std::string waiting(double seconds) {
  return fmt::format(
      "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 0.5\nwait = {}\n[[plan.increment]]\nwait = "
      "10\n",
      seconds);
}

nlohmann::ordered_json solved_by_itself(const Case& input) {
  const Model model = pose(input);
  nlohmann::ordered_json summary =
      solve_case(input, model, [](const Frame&, const HistoryEntry&, const Progress&) {
        return true;
      }).summary;
  return summary;
}

const std::string constant_film = "[bond.stiffness_maturity]\nlaw = \"mature-at-once\"\n";
const std::string stiffening_film = "[bond.stiffness_maturity]\nlaw = \"chairside-rule\"\n";

}  // namespace

TEST_CASE("a run judged on another's solution has the bits of a run on its own", "[study][verification]") {
  const std::string flow =
      "[materials.override.conventional-paste.flow]\nshare = 0.3\ntime_soft = 5\ntime_set = 100\n";
  const std::string film = constant_film + GENERATE_COPY(as<std::string>{}, "", flow);
  const Case first = joint(film);
  const Model model = pose(first);
  const KeptRun kept(first, model, SharedMesh(model),
                     [](const Frame&, const HistoryEntry&, const Progress&) { return true; });
  CHECK(kept.first().summary == solved_by_itself(first));
  for (const std::string& change :
       {std::string("[bond.strength.fixture]\ntensile = 11.0\nshear = 7.0\n"),
        std::string("[bond.strength_maturity]\nlaw = \"ten-minute-pair\"\nratio = 0.7\n"),
        std::string("[solver]\nviscous_time = 0.1\n"),  // of debonding only
        waiting(0), waiting(7), waiting(412.345678901),
        waiting(90) + "[bond.strength.fixture]\nshear = 3.0\n"}) {
    INFO(change);
    const Case other = joint(film + change);
    const Model other_model = pose(other);
    REQUIRE(kept.serves(other, other_model));
    CHECK(kept.judged(other, other_model).summary == solved_by_itself(other));
  }
}

TEST_CASE("what acts on displacements is not shared", "[study]") {
  const Case first = joint(constant_film);
  const Model model = pose(first);
  const KeptBond kept(model, first.solver);
  CHECK(kept.serves(model, first.solver));
  for (const std::string& change :
       {std::string("[solver]\nmode = \"debonding\"\n"), std::string("[solver]\nlinear_tolerance = 1e-9\n"),
        std::string("[materials.override.conventional-paste]\nvolumetric_shrinkage = 0.03\n"),
        std::string("[materials.override.conventional-paste.flow]\nshare = 0.3\ntime_soft = 5\n"
                    "time_set = 100\n"),
        std::string("[[plan.light]]\nirradiance = 999.0\nduration = \"20 s\"\n"),
        std::string(
            "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 0.5\nwait = 30\n[[plan.increment]]\n"
            "wait = 11\n"),
        std::string("[plan]\nend = \"31 s\"\n"), std::string("[plan]\nframes = [60.0]\n"),
        std::string("[materials]\nfixture = \"aluminium\"\n[bond]\nfilm_thickness = 0.02\n"),
        std::string("[[pressure]]\nsurface = \"x0\"\nvalue = 1.0\n")}) {
    INFO(change);
    const Case other = joint(constant_film + change);
    CHECK_FALSE(kept.serves(pose(other), other.solver));
  }
  const Case other_film = joint(stiffening_film);
  CHECK_FALSE(kept.serves(pose(other_film), other_film.solver));
}

TEST_CASE("a wait is shared only where nothing but strength changes in it", "[study]") {
  const std::vector<std::string> changing{stiffening_film,
                                          constant_film + "[[pressure]]\nsurface = \"x0\"\nvalue = 1.0\n",
                                          constant_film + "[plan]\nframes = [15.0]\n"};
  const std::string loads = changing[GENERATE(std::size_t{0}, std::size_t{1}, std::size_t{2})];
  INFO(loads);
  const Case first = joint(loads), later = joint(loads + waiting(60));
  const KeptBond kept(pose(first), first.solver);
  CHECK(kept.serves(pose(first), first.solver));
  CHECK_FALSE(kept.serves(pose(later), later.solver));
  const Case weaker = joint(loads + "[bond.strength.fixture]\ntensile = 11.0\n");
  CHECK(kept.serves(pose(weaker), weaker.solver));
}

TEST_CASE("a study solves once what differs in strength and wait, and says what that saved", "[study]") {
  const ScratchFolder scratch;
  const Study study = read_study(scratch.write("s.toml", R"([study]
base = "butt-joint"
[set.mesh]
fineness = 1.0
[set.plan]
end = "10 s"
[[factor]]
name = "strength"
key = "bond.strength.fixture.tensile"
values = [20.0, 30.0]
[[factor]]
name = "shrinkage"
key = "materials.override.conventional-paste.volumetric_shrinkage"
values = [0.02, 0.03]
[[factor]]
name = "wait"
key = "plan.increment[1].wait"
values = [0, 60]
[outputs]
ratio = "bond[wall=all].end.stress_to_strength_p95"
)"));
  const StudyPlan plan = plan_of(study);
  std::vector<int> all;
  for (const StudyRow& row : plan.rows) all.push_back(row.number);
  const RunOrder order = order_of(study, plan, all);
  CHECK(order.meshes == 1);
  CHECK(order.solutions == 2);
  CHECK(order.work == Approx(2 + 6 * work_of_judging));
  const MeshCache meshes(scratch / "meshes");
  RowRunner together(study, meshes);
  ResultTable table;
  for (std::size_t i = 0; i < order.runs.size(); ++i) {
    const OrderedRun& run = order.runs[i];
    const bool next_alike = i + 1 < order.runs.size() && order.runs[i + 1].solution == run.solution;
    const RunRecord record = together.run(*run.row, next_alike);
    INFO("row " << run.row->number);
    REQUIRE(record.status == RunStatus::done);
    CHECK(record.outputs == RowRunner(study, meshes).run(*run.row, false).outputs);
    CHECK(record.solution_shared == (i % 4 != 0));
    ResultRow row;
    row.status = record.status;
    row.seconds = record.seconds;
    row.solution_shared = record.solution_shared;
    row.solution_saved = record.saved_seconds;
    table.rows.push_back(row);
  }
  CHECK(savings_of(table).solutions == 2);
  CHECK(savings_of(table).solution_shared == 6);
  CHECK_THAT(savings_text(table), Contains("Solutions: 2 for 8 runs, which saved "));
}

TEST_CASE("a first increment that stands for several has a solution for every wait", "[study]") {
  const ScratchFolder scratch;
  const auto solutions_of = [&](const std::string& base, const std::string& set) {
    const Study study = read_study(scratch.write(
        "s.toml",
        "[study]\nbase = \"" + base + "\"\n" + set +
            "[[factor]]\nname = \"wait\"\nkey = \"plan.increment[1].wait\"\nvalues = [0, 60, 300]\n"));
    return order_of(study, plan_of(study), {1, 2, 3}).solutions;
  };
  CHECK(solutions_of("deep-box-bulk", "") == 1);
  CHECK(solutions_of("deep-box-bulk", "[set.solver]\nmode = \"debonding\"\n") == 3);
  CHECK(solutions_of("deep-box-bulk", "[set.bond.stiffness_maturity]\nlaw = \"chairside-rule\"\n") == 3);
  CHECK(solutions_of("deep-box-oblique", "") == 3);
}

TEST_CASE("the wait of a plan as a whole is shared, whatever its layers", "[study]") {
  const ScratchFolder scratch;
  const auto solutions_of = [&](const std::string& set) {
    const Study study = read_study(scratch.write(
        "s.toml", "[study]\nbase = \"deep-box-layers\"\n" + set +
                      "[[factor]]\nname = \"wait\"\nkey = \"plan.wait\"\nvalues = [0, 60, 300]\n"));
    return order_of(study, plan_of(study), {1, 2, 3}).solutions;
  };
  CHECK(solutions_of("") == 1);
  CHECK(solutions_of("[set.bond.stiffness_maturity]\nlaw = \"chairside-rule\"\n") == 3);
  const Case first = joint(constant_film), later = joint(constant_film + "[plan]\nwait = \"1 min\"\n");
  const Model model = pose(first), later_model = pose(later);
  const KeptRun kept(first, model, SharedMesh(model),
                     [](const Frame&, const HistoryEntry&, const Progress&) { return true; });
  REQUIRE(kept.serves(later, later_model));
  CHECK(kept.judged(later, later_model).summary == solved_by_itself(later));
}
