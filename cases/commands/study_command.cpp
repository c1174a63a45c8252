#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/commands/commands.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/study/report/report.hpp"
#include "cases/study/report/study_text.hpp"
#include "cases/study/runs/outputs_check.hpp"
#include "cases/study/runs/savings.hpp"
#include "cases/study/runs/slurm.hpp"
#include "cases/study/runs/study_runner.hpp"
#include "cases/study/table/study_files.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

/// A study with its rows and places, ready for any verb.
struct Opened {
  Study study;
  StudyPlan plan;
  StudyFiles files;
  Lanes lanes;
};

/// Where values are chosen, not drawn, a rule that holds for no combination is a slip.
void require_rules_of_use(const Study& study, const StudyPlan& plan) {
  if (study.design != Design::grid && study.design != Design::one_at_a_time) return;
  for (std::size_t rule = 0; rule < plan.held.size(); ++rule)
    if (plan.held[rule] == 0)
      throw CaseError(
          fmt::format("{}: study.drop \"{}\" holds for no combination of the factors' values, so that it "
                      "leaves nothing out",
                      study.file.string(), shortened(study.drops[rule].text)));
}

Opened open_study(const StudyLine& line) {
  if (line.study.empty())
    throw CaseError(
        "setstress study needs a study file, or the name of a ready-made study (setstress study list)");
  const fs::path file = find_study(line.study);
  Study study = read_study(file);
  StudyPlan plan = plan_of(study);
  if (plan.rows.empty())
    throw CaseError(fmt::format("{}: study.drop leaves no combination to run", file.string()));
  require_rules_of_use(study, plan);
  return {std::move(study), std::move(plan), files_of(file, line.out), lanes_from(line.lanes, line.device)};
}

/// Every row is refused: the study itself is at fault.
void require_possible_case(const Opened& opened) {
  std::string first;
  for (const StudyRow& row : opened.plan.rows) {
    try {
      (void)case_of(opened.study, row);
      return;
    } catch (const CaseError& error) {
      if (first.empty()) first = error.what();
    }
  }
  throw CaseError(
      fmt::format("none of the {} runs is a possible case; the first: {}", opened.plan.rows.size(), first));
}

/// What is at fault in the study itself is said before anything is solved or kept.
void require_sound(const Opened& opened) {
  require_possible_case(opened);
  require_outputs(opened.study, opened.plan, MeshCache(opened.files.meshes()));
}

/// Makes the runs and keeps each in the database as it ends.
RunTally make_and_keep(const Opened& opened, StudyDatabase& database, const std::vector<int>& rows,
                       const StudyLine& line) {
  const InterruptGuard interrupt;
  const MeshCache meshes(opened.files.meshes());
  return make_runs(
      opened.study, opened.plan, rows, meshes, {line.jobs, line.quiet, opened.lanes},
      [&](int row, const RunRecord& record) { database.record(row, record); },
      [&] { return interrupt.asked_to_stop(); });
}

int say(const Opened& opened, const RunTally& tally, const StudyLine& line) {
  const ResultTable table = read_results(opened.files.database);
  if (!line.quiet)
    fmt::print("{}{}{}Table: {}; setstress study csv, list and case read it\n{}\n", tally_text(tally),
               savings_text(table), results_text(table), opened.files.database.string(), caution_line);
  if (tally.left == 0) return 0;
  fmt::print(stderr, "setstress: stopped with {} runs left; the same command goes on from here\n",
             tally.left);
  return 1;
}

/// Options that only a cluster has a use for.
void refuse_idle_options(const StudyLine& line) {
  const std::vector<std::pair<bool, const char*>> given{{line.shards > 0, "--shards"},
                                                        {!line.account.empty(), "--account"},
                                                        {!line.partition.empty(), "--partition"},
                                                        {!line.sbatch.empty(), "--sbatch"},
                                                        {!line.submit, "--no-submit"}};
  for (const auto& [is_given, option] : given)
    if (is_given)
      throw CaseError(
          fmt::format("{} changes nothing without --on slurm: the study would run here, as a whole", option));
}

int run_here(const StudyLine& line) {
  refuse_idle_options(line);
  const Opened opened = open_study(line);
  const StudyLock lock(opened.files.work);
  const InterruptGuard interrupt;
  require_sound(opened);
  StudyDatabase database = StudyDatabase::open(opened.files.database, opened.study, opened.plan);
  if (line.retry) database.retry_failed();
  const std::vector<int> rows = database.rows_with(RunStatus::planned);
  if (!line.quiet)
    fmt::print("{}{}", plan_text(opened.study, opened.plan),
               database.taken_over() ? taken_over_text(*database.taken_over())
               : rows.size() < opened.plan.rows.size()
                   ? fmt::format("{} were made before\n", opened.plan.rows.size() - rows.size())
                   : "");
  const RunTally tally = make_and_keep(opened, database, rows, line);
  database.fold_log();
  return say(opened, tally, line);
}

void tell_failed_pilot(const Opened& opened, int row) {
  const ResultTable table = read_results(opened.files.database);
  fmt::print(stderr, "setstress: the run made to learn what runs take has failed; row {}: {}\n", row,
             table.rows.at(static_cast<std::size_t>(row - 1)).message);
}

/// Seconds and memory of a run, from those in the database; makes one when there is none.
struct Pilot {
  double seconds, memory_mb;
};
Pilot pilot_of(const Opened& opened, StudyDatabase& database, const StudyLine& line) {
  Pilot pilot{database.mean_seconds(), database.largest_memory_mb()};
  for (std::vector<int> rows = database.rows_with(RunStatus::planned); !rows.empty() && pilot.memory_mb == 0;
       rows = database.rows_with(RunStatus::planned)) {
    const std::vector<int> first = pilot_rows(opened.study, opened.plan, rows, opened.lanes.most);
    const RunTally tally = make_and_keep(opened, database, first, line);
    if (tally.left > 0) throw std::runtime_error("stopped before the first run was done");
    if (tally.failed > 0) tell_failed_pilot(opened, first.front());
    pilot = {tally.run_seconds / std::max(1, tally.done + tally.failed), tally.largest_memory_mb};
  }
  return pilot;
}

/// Rows that cannot be, as far as they are looked at here.
std::string refused_rows_text(const Opened& opened) {
  constexpr std::size_t most_looked_at = 200;
  const std::size_t looked_at = std::min(most_looked_at, opened.plan.rows.size());
  int refused = 0;
  std::string first;
  for (std::size_t r = 0; r < looked_at; ++r) {
    try {
      (void)case_of(opened.study, opened.plan.rows[r]);
    } catch (const CaseError& error) {
      ++refused;
      if (first.empty()) first = fmt::format("row {}: {}", r + 1, error.what());
    }
  }
  if (refused == 0) return "";
  return fmt::format("Note: {} of {}{} runs will be refused; {}\n", refused,
                     looked_at < opened.plan.rows.size() ? "the first " : "", looked_at, first);
}

int plan_only(const StudyLine& line) {
  const Opened opened = open_study(line);
  const StudyLock lock(opened.files.work);
  const InterruptGuard interrupt;
  require_sound(opened);
  StudyDatabase database = StudyDatabase::open(opened.files.database, opened.study, opened.plan);
  const Pilot pilot = pilot_of(opened, database, line);
  const RunOrder order = order_of(opened.study, opened.plan, database.rows_with(RunStatus::planned));
  database.fold_log();
  fmt::print("{}{}", plan_text(opened.study, opened.plan), refused_rows_text(opened));
  if (pilot.memory_mb > 0)
    fmt::print("A run that is solved takes about {} and {:.0f} MB\n", duration_text(pilot.seconds),
               pilot.memory_mb);
  fmt::print("{}{}", work_text(order, pilot.seconds), savings_text(read_results(opened.files.database)));
  return 0;
}

/// Works on one part in memory and publishes it after every run, so that nothing is asked of the file system
/// but renaming.
int work_on_shard(const StudyLine& line) {
  const Opened opened = open_study(line);
  const Shard shard = shard_from(line.shard);
  const fs::path file = opened.files.shard(shard);
  make_folders(file.parent_path());
  StudyDatabase database = StudyDatabase::in_memory(opened.study, opened.plan);
  if (fs::exists(file)) database.merge(file);
  if (line.retry) database.retry_failed();
  std::vector<int> rows = database.rows_with(RunStatus::planned);
  std::erase_if(rows, [&](int row) { return !shard.has(row); });
  const InterruptGuard interrupt;
  const MeshCache meshes(opened.files.meshes());
  const RunTally tally = make_runs(
      opened.study, opened.plan, rows, meshes, {line.jobs, line.quiet, opened.lanes},
      [&](int row, const RunRecord& record) {
        database.record(row, record);
        if (fs::exists(file)) database.merge(file);  // what another worker on this part has made
        database.publish(file);
      },
      [&] { return interrupt.asked_to_stop(); });
  if (!line.quiet) fmt::print("Part {}/{}: {}", shard.number, shard.count, tally_text(tally));
  return tally.left == 0 ? 0 : 1;
}

/// Takes over what the parts hold that can be read.
struct Collected {
  int taken = 0, parts = 0;
  std::string left_out;  ///< sentences
};
Collected collect_parts(const StudyFiles& files, StudyDatabase& database) {
  Collected collected;
  for (const fs::path& part : files.shards_there()) {
    try {
      collected.taken += database.merge(part);
      ++collected.parts;
    } catch (const CaseError& error) {
      collected.left_out += fmt::format("setstress: left out: {}\n", error.what());
    }
  }
  return collected;
}

int collect(const StudyLine& line) {
  const Opened opened = open_study(line);
  const StudyLock lock(opened.files.work);
  StudyDatabase database = StudyDatabase::open(opened.files.database, opened.study, opened.plan);
  const Collected collected = collect_parts(opened.files, database);
  database.fold_log();
  fmt::print("{} runs taken from {} parts\n{}", collected.taken, collected.parts,
             results_text(read_results(opened.files.database)));
  fmt::print(stderr, "{}", collected.left_out);
  return collected.left_out.empty() ? 0 : 2;
}

/// The parts that have runs left, and how many the fullest of them has.
std::pair<std::vector<int>, std::size_t> shards_left(const std::vector<int>& rows, int count) {
  std::vector<int> shards;
  std::size_t most = 0;
  for (int number = 1; number <= count; ++number) {
    const Shard shard{number, count};
    const auto left = static_cast<std::size_t>(
        std::count_if(rows.begin(), rows.end(), [&](int row) { return shard.has(row); }));
    if (left > 0) shards.push_back(number);
    most = std::max(most, left);
  }
  return {shards, most};
}

int run_on_slurm(const StudyLine& line) {
  constexpr int usual_shards = 16;
  if (line.submit) require_slurm();
  const Opened opened = open_study(line);
  const StudyLock lock(opened.files.work);
  const InterruptGuard interrupt;
  require_sound(opened);
  StudyDatabase database = StudyDatabase::open(opened.files.database, opened.study, opened.plan);
  if (line.retry) database.retry_failed();
  fmt::print(stderr, "{}", collect_parts(opened.files, database).left_out);
  const Pilot pilot = pilot_of(opened, database, line);
  const std::vector<int> rows = database.rows_with(RunStatus::planned);
  if (rows.empty()) {
    fmt::print("{}Nothing is left to run\n", results_text(read_results(opened.files.database)));
    return 0;
  }
  SlurmJob job;
  job.name = opened.study.name;
  job.study = fs::absolute(opened.study.file);
  job.out = fs::absolute(opened.files.database).parent_path();
  job.logs = fs::absolute(opened.files.jobs());
  job.count =
      line.shards > 0 ? line.shards : std::min(usual_shards, static_cast<int>(opened.plan.rows.size()));
  job.cores = std::max(1, line.jobs);
  job.lanes = line.lanes;
  job.device = line.device;
  const auto [shards, most] = shards_left(rows, job.count);
  job.shards = shards;
  job.seconds = std::ceil(static_cast<double>(most) / job.cores) * pilot.seconds;
  const bool in_groups = pilot_rows(opened.study, opened.plan, rows, opened.lanes.most).size() > 1;
  job.memory_mb = (in_groups ? 2 : 1) * pilot.memory_mb;  // of 32 runs: twice that of 8, measured
  if (!line.account.empty()) job.options.push_back("--account=" + line.account);
  if (!line.partition.empty()) job.options.push_back("--partition=" + line.partition);
  job.options.insert(job.options.end(), line.sbatch.begin(), line.sbatch.end());
  make_folders(job.logs);
  const fs::path script = job.logs / (job.name + ".sh");
  write_file(script, slurm_script(job));
  fmt::print("{}{} runs left, {} parts; a run takes about {} and {:.0f} MB\nJob script: {}\n",
             plan_text(opened.study, opened.plan), rows.size(), job.shards.size(),
             duration_text(pilot.seconds), pilot.memory_mb, script.string());
  if (!line.submit) return 0;
  fmt::print("Handed in as job {}; when it has ended: setstress study collect {}\n", submit(script),
             line.study);
  return 0;
}

int write_csv(const StudyLine& line) {
  const ResultTable table = read_results(files_of(find_study(line.study), line.out).database);
  fmt::print("{}", line.columns ? columns_csv(table) : as_csv(table));
  return 0;
}

int write_case(const StudyLine& line) {
  const Opened opened = open_study(line);
  if (line.row < 1 || line.row > static_cast<int>(opened.plan.rows.size()))
    throw CaseError(
        fmt::format("ROW is {}; {} has rows 1 to {}", line.row, opened.study.name, opened.plan.rows.size()));
  fmt::print("{}", case_text(opened.study, opened.plan.rows[static_cast<std::size_t>(line.row - 1)]));
  return 0;
}

/// What the table holds and what parts at work have made besides, without touching either.
ResultTable with_parts(const StudyLine& line, const StudyFiles& files) {
  const Opened opened = open_study(line);
  StudyDatabase both = StudyDatabase::in_memory(opened.study, opened.plan);
  if (is_file(files.database)) both.merge(files.database);
  const Collected collected = collect_parts(files, both);
  if (collected.taken > 0)
    fmt::print("{} run{} in {} part{} not collected yet, counted here (setstress study collect {})\n",
               collected.taken, collected.taken == 1 ? " is" : "s are", collected.parts,
               collected.parts == 1 ? "" : "s", line.study);
  fmt::print(stderr, "{}", collected.left_out);
  return both.table();
}

/// The table of a study that was changed since is told as it is.
ResultTable table_now(const StudyLine& line, const StudyFiles& files) {
  if (files.shards_there().empty()) return read_results(files.database);
  try {
    return with_parts(line, files);
  } catch (const CaseError& error) {
    fmt::print(stderr, "setstress: parts are not counted: {}\n", error.what());
    return read_results(files.database);
  }
}

int list_runs(const StudyLine& line) {
  if (line.study.empty()) {
    for (const fs::path& file : ready_made_studies())
      fmt::print("{:<28}{}\n", file.stem().string(), read_study(file).title);
    return 0;
  }
  const ResultTable table = table_now(line, files_of(find_study(line.study), line.out));
  fmt::print("{}{}{}", results_text(table), outputs_text(table), savings_text(table));
  return 0;
}

int report(const StudyLine& line) {
  const fs::path database = files_of(find_study(line.study), line.out).database;
  const ResultTable table = read_results(database);
  const fs::path folder = database.parent_path() / (database.stem().string() + "-report");
  write_report(table, line.study, folder);
  if (!line.quiet)
    fmt::print(
        "{}\nPage: {}; its plots are in figures/, the table in runs.csv, what its columns are in "
        "columns.csv\n{}\n",
        report_text(table), (folder / "report.html").string(), caution_line);
  return 0;
}

}  // namespace

int study_command(const CommandLine& line) {
  using Verb = StudyLine::Verb;
  const StudyLine& study = line.study;
  switch (study.verb) {
    case Verb::run:
      return study.on.empty() ? run_here(study) : run_on_slurm(study);
    case Verb::plan:
      return plan_only(study);
    case Verb::work:
      return work_on_shard(study);
    case Verb::collect:
      return collect(study);
    case Verb::csv:
      return write_csv(study);
    case Verb::make_case:
      return write_case(study);
    case Verb::list:
      return list_runs(study);
    case Verb::report:
      return report(study);
  }
  throw std::logic_error("a verb of study without a function");
}

}  // namespace setstress
