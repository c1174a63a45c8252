#include "cases/options/study_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "cases/options/refusals.hpp"

namespace setstress {

namespace {

using Verb = StudyLine::Verb;

constexpr const char* study_help =
    "A study file (.toml) or the name of a ready-made study (see: setstress study list)";

void add_study(CLI::App* command, StudyLine& line, bool required) {
  auto* option = command->add_option("study", line.study, study_help)->type_name("STUDY");
  if (required) option->required();
}

void add_folder(CLI::App* command, StudyLine& line) {
  command
      ->add_option("--out", line.out,
                   "Folder of the table of results; beside the study file unless given (ready-made studies: "
                   "here)")
      ->type_name("FOLDER");
}

void add_running(CLI::App* command, StudyLine& line) {
  add_folder(command, line);
  command
      ->add_option("--jobs", line.jobs, "Runs side by side; as many as cores and memory allow unless given")
      ->check(whole_number(1, 1024))
      ->type_name("N");
  add_lanes(
      command, line.lanes, line.device,
      "Runs that one core solves at a time, where many differ in numbers alone: 32 unless given (256 on a "
      "GPU); off: each by itself, to the bits of setstress run");
  command->add_flag("--retry", line.retry, "Make failed runs again");
  command->add_flag("--quiet", line.quiet, "Say nothing but errors");
}

void add_cluster(CLI::App* command, StudyLine& line) {
  command->add_option("--on", line.on, "slurm: hand the study in as a job array, a part of it each")
      ->check(one_of({"slurm"}))
      ->type_name("slurm");
  command->add_option("--shards", line.shards, "Parts to cut the study into; 16 or fewer unless given")
      ->check(whole_number(1, 10'000))
      ->type_name("N");
  command->add_option("--account", line.account, "As of sbatch")->type_name("NAME");
  command->add_option("--partition", line.partition, "As of sbatch")->type_name("NAME");
  command->add_option("--sbatch", line.sbatch, "Further options of sbatch, as in --sbatch=--qos=long")
      ->type_name("OPTION");
  command->add_flag("!--no-submit", line.submit, "Write the job, but do not hand it in");
}

CLI::App* add_verb(CLI::App* study, StudyLine& line, Verb verb, const char* name, const char* purpose,
                   const char* example) {
  CLI::App* command = study->add_subcommand(name, purpose);
  command->footer(fmt::format("Example:\n  {}", example));
  command->callback([&line, verb] { line.verb = verb; });
  add_study(command, line, verb != Verb::list);
  return command;
}

}  // namespace

void add_lanes(CLI::App* command, std::string& lanes, std::string& device, const std::string& help) {
  command->add_option("--lanes", lanes, help)
      ->check(one_of({"8", "16", "32", "64", "128", "256", "512", "1024", "off"}))
      ->type_name("N|off");
  command
      ->add_option("--device", device,
                   "What solves the linear systems of lanes: cpu unless given, or gpu, in other last digits; "
                   "where no GPU can be used, a sentence says so and the processor does it")
      ->check(one_of({"cpu", "gpu"}))
      ->type_name("cpu|gpu");
}

CLI::App* describe_study(CLI::App& app, StudyLine& line) {
  CLI::App* study =
      app.add_subcommand("study", "Run a case many times with other values, and go on where stopped");
  study->footer(
      "Examples:\n  setstress study list\n  setstress study my-study.toml\n  setstress study my-study.toml "
      "--on "
      "slurm --shards 100 --partition long");
  add_study(study, line, false);
  add_running(study, line);
  add_cluster(study, line);
  CLI::App* run = add_verb(study, line, Verb::run, "run", "Make the runs that are not made yet (the default)",
                           "setstress study run my-study.toml --jobs 2");
  add_running(run, line);
  add_cluster(run, line);
  add_running(add_verb(study, line, Verb::plan, "plan",
                       "Count the runs and make one of them, to say how long all take",
                       "setstress study plan my-study.toml"),
              line);
  CLI::App* work = add_verb(study, line, Verb::work, "work",
                            "Make one part of the runs; for many machines, under any scheduler",
                            "setstress study work my-study.toml --shard 3/16");
  add_running(work, line);
  work->add_option("--shard", line.shard, "Which part, of how many")->required()->type_name("K/N");
  add_folder(add_verb(study, line, Verb::collect, "collect", "Put the results of all parts into one table",
                      "setstress study collect my-study.toml"),
             line);
  CLI::App* csv = add_verb(study, line, Verb::csv, "csv", "Write the table as comma-separated values",
                           "setstress study csv my-study.toml > my-study.csv");
  csv->add_flag("--columns", line.columns, "What the columns are instead: label, unit, key or place");
  add_folder(csv, line);
  CLI::App* make_case = add_verb(study, line, Verb::make_case, "case", "Write one row as a case file",
                                 "setstress study case my-study.toml 17 > row-17.toml");
  make_case->add_option("row", line.row, "Number of the row")
      ->required()
      ->check(whole_number(1, 1'000'000))
      ->type_name("ROW");
  add_folder(add_verb(study, line, Verb::list, "list",
                      "List what came of the runs, or, without a study, the ready-made studies",
                      "setstress study list my-study.toml"),
             line);
  CLI::App* report =
      add_verb(study, line, Verb::report, "report",
               "Write what the study found as one page and figures, in a folder STUDY-report beside the "
               "table of results",
               "setstress study report my-study.toml");
  add_folder(report, line);
  report->add_flag("--quiet", line.quiet, "Say nothing but errors");
  return study;
}

}  // namespace setstress
