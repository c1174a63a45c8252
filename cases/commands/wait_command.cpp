// setstress wait: the shortest wait that keeps one number of one wall below a limit.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cases/check/cure_json.hpp"
#include "cases/commands/commands.hpp"
#include "cases/result/mirror_walls.hpp"
#include "cases/result/result_check.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/wait/shifted_plan.hpp"
#include "cases/wait/wait_report.hpp"
#include "cases/wait/wait_runs.hpp"
#include "cases/words/bond_words.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

WallLimit limit_of(const WaitSettings& wait, bool debonding) {
  const std::vector<std::string> names = wall_quantity_names();
  if (!wait.quantity.empty() && std::find(names.begin(), names.end(), wait.quantity) == names.end())
    throw CaseError(fmt::format("--of is \"{}\"; must be one of: {}", wait.quantity, fmt::join(names, ", ")));
  WallLimit limit{wait.quantity.empty() ? usual_quantity(debonding) : wall_quantity(wait.quantity), wait.wall,
                  wait.substrate, 0};
  const bool share = usual_limit(limit.quantity) && *usual_limit(limit.quantity) < 1;
  if (!wait.below && !usual_limit(limit.quantity))
    throw CaseError("--below is missing; give the largest gap that is allowed [um]");
  limit.limit = wait.below ? *wait.below / (share ? 100 : 1) : *usual_limit(limit.quantity);
  if (!(limit.limit > 0) || (share && limit.limit > 1))
    throw CaseError(fmt::format("--below is {}; must be above 0{}", *wait.below,
                                share ? " and at most 100 [% of the wall]" : ""));
  return limit;
}

WaitRange range_of(const WaitSettings& wait) {
  WaitRange range;
  range.longest = time_of_option("--longest", wait.longest, 1, 7 * 86400.0);
  range.within = time_of_option("--within", wait.within, 1, 86400.0);
  if (range.within > range.longest)
    throw CaseError(fmt::format("--within is {}; must be at most the longest wait tried, {} (--longest)",
                                duration_text(range.within), duration_text(range.longest)));
  range.points = wait.points;
  return range;
}

bool may_let_go(const Case& input) {
  return input.solver.mode == Mode::debonding;
}

/// Where the bond may let go, each law is solved by itself, so only one is unless others are asked for.
std::vector<std::string> laws_of(const Case& input, const WaitSettings& wait) {
  if (!wait.laws.empty()) return wait.laws;
  const std::vector<std::string> all = maturity_choice_names();
  return may_let_go(input) ? std::vector<std::string>{all.front()} : all;
}

/// How much there is to solve, before it is begun.
void tell_before(const Case& input, const WaitRuns& runs, const WaitRange& range) {
  const auto first = static_cast<int>(coarse_waits(range).size());
  const auto laws = may_let_go(input) ? static_cast<int>(runs.laws().size()) : 1;
  fmt::print(stderr,
             "setstress: {}: {} waits first, up to {} run{}, about {} each on two cores; then some closer to "
             "where the limit is first met{}\n",
             input.name, first, first * laws, first * laws == 1 ? "" : "s",
             duration_text(std::max(1.0, runs.expected_seconds())),
             runs.answers() > 0 ? fmt::format("; {} answers are there already", runs.answers()) : "");
}

/// "" unless the limited wall is one of two that are mirror images and may let go.
std::string mirror_note(const Case& input, const WallLimit& limit) {
  if (!may_let_go(input)) return "";
  for (const auto& [one, other] : mirror_walls(input))
    if (limit.wall == one || limit.wall == other)
      return mirror_words({.wall = one + " and " + other, .mirrored = true});
  return "";
}

/// The curves of one case under every law; as far as they were traced where the user asked to stop.
PlanWaits waits_of(const Case& input, const CommandLine& line, const WallLimit& limit, const WaitRange& range,
                   const InterruptGuard& interrupt, KeptAnswers& kept) {
  ProgressLine progress(input.name, line.quiet);
  const WaitRuns* made = nullptr;
  WaitRuns runs(
      input, limit, line.wait.before, maturity_choices(input, laws_of(input, line.wait)),
      [&](double share, double wait) {
        const std::size_t before = made->answers(),
                          expected = 2 * made->laws().size() * static_cast<std::size_t>(range.points);
        progress.show(std::min(0.99, (static_cast<double>(before) + share) /
                                         static_cast<double>(std::max(expected, before + 2))),
                      fmt::format("run {}, wait {}", made->solved(), duration_text(wait)));
        return !interrupt.asked_to_stop();
      },
      &kept);
  made = &runs;
  if (!line.quiet) tell_before(input, runs, range);
  const double without = with_wait(input, line.wait.before, 0).chair_time;
  PlanWaits plan{.name = input.name,
                 .title = input.title,
                 .invented = input.invented,
                 .mode = input.solver.mode == Mode::intact ? "intact" : "debonding",
                 .written_wait = wait_before(input, line.wait.before),
                 .chair_time = without,
                 .chair_time_per_wait = with_wait(input, line.wait.before, 1).chair_time - without,
                 .laws = {},
                 .facets = runs.facets(),
                 .failures = {},
                 .coarse_mesh = runs.coarse_mesh(),
                 .cure_warnings = cure_warnings(runs.cure()),
                 .under_cured = under_cure_of(runs.cure()).found(),
                 .mirror = mirror_note(input, limit)};
  for (std::size_t law = 0; law < runs.laws().size(); ++law) {
    const WaitCurve curve =
        trace_waits([&](double wait) { return runs.value(wait, law); }, limit.limit, range);
    LawWaits& traced = plan.laws.emplace_back(LawWaits{runs.laws()[law].name, curve, {}, {}});
    if (curve.points.empty()) continue;
    const double told = curve.shortest.value_or(curve.best().wait);
    traced.higher_part = runs.higher_part(told, law);
    traced.energy_bound = runs.energy_bound(told, law);
  }
  for (const auto& [name, composite] : input.materials.composites) {
    const std::string named = input.name + ": " + name;  // of one name in two plans may flow in one only
    plan.composites.insert(named);
    if (composite.flow.flows()) plan.flowing.insert(named);
  }
  plan.runs = runs.solved();
  plan.failures = runs.failures();
  return plan;
}

bool has_points(const PlanWaits& plan) {
  return std::any_of(plan.laws.begin(), plan.laws.end(),
                     [](const LawWaits& law) { return !law.curve.points.empty(); });
}

bool was_stopped(const PlanWaits& plan) {
  return std::any_of(plan.laws.begin(), plan.laws.end(),
                     [](const LawWaits& law) { return law.curve.stopped; });
}

void write_files(const std::vector<PlanWaits>& plans, const WallLimit& limit, int before,
                 const std::string& json, bool finished, const std::filesystem::path& folder) {
  write_file(folder / "waits.json", json);
  write_file(folder / "waits.csv", waits_csv(plans, limit));
  for (const PlanWaits& plan : plans)
    if (has_points(plan))
      write_file(folder / (plan.name + ".svg"), chart_file(waits_chart(plan, limit, before)));
  const nlohmann::ordered_json manifest{{"program", "setstress"},
                                        {"version", SETSTRESS_VERSION},
                                        {"command", "wait"},
                                        {"finished", finished},
                                        {"caution", caution_line}};
  write_file(folder / ResultLayout::manifest, manifest.dump(2) + "\n");
}

}  // namespace

int wait_command(const CommandLine& line) {
  const WaitRange range = range_of(line.wait);
  std::vector<Case> cases;
  for (const std::string& name : line.inputs) {
    cases.push_back(case_for(name, line.settings));
    const auto same = std::count_if(cases.begin(), cases.end() - 1,
                                    [&](const Case& other) { return other.name == cases.back().name; });
    if (same > 0) throw CaseError(fmt::format("{}: is there twice; give plans of different names", name));
    if (may_let_go(cases.back()) != may_let_go(cases.front()))
      throw CaseError(fmt::format("{} and {} are run in different modes; say --mode for all",
                                  cases.front().name, cases.back().name));
  }
  const WallLimit limit = limit_of(line.wait, may_let_go(cases.front()));
  const std::filesystem::path out =
      line.out.empty() ? std::filesystem::path("wait-" + cases.front().name) : line.out;
  KeptAnswers kept(out);
  ResultFolder folder(out);
  std::vector<PlanWaits> plans;
  const InterruptGuard interrupt;
  for (const Case& input : cases)
    if (!interrupt.asked_to_stop()) plans.push_back(waits_of(input, line, limit, range, interrupt, kept));
  const bool stopped = interrupt.asked_to_stop() &&
                       (plans.size() < cases.size() || std::any_of(plans.begin(), plans.end(), was_stopped));
  if (std::none_of(plans.begin(), plans.end(), has_points) && stopped) {
    fmt::print(stderr, "setstress: stopped as asked before anything was solved; nothing was written\n");
    return 1;
  }
  const std::string json = waits_json(plans, limit, line.wait.before, range).dump(2) + "\n";
  write_files(plans, limit, line.wait.before, json, !stopped, folder.working());
  kept.write_into(folder.working());
  folder.publish();
  kept.published();
  if (line.json)
    fmt::print("{}", json);
  else if (!line.quiet)
    fmt::print("{}\nFiles in {}: waits.csv, waits.json, answers.json and a curve for each plan (.svg)\n{}\n",
               waits_text(plans, limit, line.wait.before, range), out.string(), caution_line);
  for (const PlanWaits& plan : plans)
    for (const std::string& failure : plan.failures) fmt::print(stderr, "setstress: note: {}\n", failure);
  if (stopped)
    fmt::print(stderr,
               "setstress: stopped as asked; what was solved until then is in {}, {} of {} plans; the same "
               "command goes on "
               "from there\n",
               out.string(), plans.size(), cases.size());
  return stopped || std::none_of(plans.begin(), plans.end(), has_points) ? 1 : 0;
}

}  // namespace setstress
