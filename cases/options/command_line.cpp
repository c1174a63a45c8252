#include "cases/options/command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdlib>

#include "cases/options/picture_options.hpp"
#include "cases/options/refusals.hpp"
#include "cases/reader/case_error.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace {

constexpr const char* about =
    "Setting stress of light-cured composite in a cavity: how each increment shrinks while it stiffens, how "
    "that pulls\n"
    "on a bond that is itself still maturing, where the bond is loaded past its strength, and what two ways "
    "of placing\n"
    "the same filling do differently.";

constexpr const char* case_help =
    "A case file (.toml) or the name of a ready-made case (see: setstress list)";

void add_fineness(CLI::App* command, CommandLine& line) {
  command
      ->add_option("--fineness", line.settings.fineness,
                   "Mesh: coarse, standard, fine, or an element size along the bond in mm")
      ->type_name("SIZE");
  command->add_flag("--force", line.settings.force, "Try what will not fit the memory that is free here");
}

void add_report_options(CLI::App* command, CommandLine& line) {
  command->add_flag("--quiet", line.quiet, "Say nothing but errors");
  command->add_flag("--json", line.json, "Report as JSON on standard output");
}

/// Option that takes one of a few words.
template <class Value>
CLI::Option* add_choice(CLI::App* command, const char* name, std::optional<Value>& value,
                        const std::map<std::string, Value>& choices, const char* purpose) {
  return command
      ->add_option_function<std::string>(
          name, [&value, choices](const std::string& word) { value = choices.at(word); }, purpose)
      ->check([choices](const std::string& word) {
        std::vector<std::string> words;
        for (const auto& [choice, meaning] : choices) words.push_back(choice);
        return choices.contains(word) ? ""
                                      : fmt::format("is \"{}\"; must be {}", word, fmt::join(words, " or "));
      });
}

void add_run_options(CLI::App* command, CommandLine& line) {
  command
      ->add_option("--out", line.out,
                   "Folder for the results; an older result of setstress there is replaced")
      ->type_name("FOLDER");
  add_choice(command, "--mode", line.settings.mode,
             {{"intact", Mode::intact}, {"debonding", Mode::debonding}},
             "intact: the bond holds, stress-to-strength ratios only; debonding: it softens and lets go")
      ->type_name("intact|debonding");
  add_fineness(command, line);
  command->add_option("--threads", line.settings.threads, "Threads; all cores unless given")
      ->check(whole_number(1, 1024))
      ->type_name("N");
  add_choice(command, "--solver", line.settings.solver,
             {{"two-level", LinearSolver::two_level}, {"direct", LinearSolver::direct}},
             "Linear solver: two-level (fast) or direct (the reference)")
      ->type_name("two-level|direct");
  add_report_options(command, line);
}

/// What "--why placing" becomes: an option whose value may be left out would take the next case for it.
constexpr const char* placing_flag = "--why-placing";

/// "--odds" alone draws as often as is usual.
void add_odds(CLI::App* command, CommandLine& line) {
  command
      ->add_option_function<std::string>(
          "--odds",
          [&line](const std::string& text) {
            constexpr int usual_draws = 64;
            line.odds = usual_draws;
            const bool alone = text.empty() || text == "true" || text == "{}";  // what the parser makes of it
            if (!alone &&
                (!CLI::detail::lexical_cast(text, *line.odds) || *line.odds < 2 || *line.odds > 100'000))
              throw CLI::ValidationError(
                  "--odds", fmt::format("is \"{}\"; must be a number of draws, 2 to 100000", text));
          },
          "Of two cases: in what share of N draws (64 unless given) of everything uncertain the second loads "
          "a "
          "wall less, by how much, and what decides")
      ->expected(0, 1)
      ->type_name("[N]");
  command
      ->add_option("--odds-fineness", line.odds_fineness,
                   "Mesh of the draws, as --fineness; coarse unless given, which can give means alone")
      ->type_name("SIZE");
  add_lanes(command, line.lanes, line.device,
            "Draws that one core solves at a time, where the bond holds; one unless given (256 on a GPU), as "
            "tissues "
            "differ by draw and little is gained");
  command->add_option("--seed", line.seed, "Of the draws; 1 unless given")
      ->check(whole_number(0, 2'000'000'000))
      ->type_name("N");
}

void add_why_and_odds(CLI::App* command, CommandLine& line) {
  command->add_flag("--why", line.why,
                    "Of two cases: what the difference comes from, in parts that add up to it; --why placing "
                    "also takes placing apart: which increment loads which wall, and when");
  command->add_flag(placing_flag, line.why_placing)->group("")->needs("--why");
  add_odds(command, line);
  command->add_flag("--brief", line.brief,
                    "Say what differs, why and how sure in a few lines; all else is in the files");
}

void add_profile(CLI::App* command, CommandLine& line) {
  command->add_flag("--profile", line.profile, "Say where the seconds went");
}

void add_wait_options(CLI::App* command, WaitSettings& wait) {
  command
      ->add_option(
          "--wall", wait.wall,
          "Wall that the limit is on, as in setstress check; floor unless given; all: the whole bond")
      ->type_name("WALL");
  command
      ->add_option("--substrate", wait.substrate,
                   "Only where the wall sits on this, such as \"radicular dentin\"")
      ->type_name("SUBSTRATE");
  command
      ->add_option(
          "--of", wait.quantity,
          "What is limited, the largest of the whole run: area-over-strength, stress-to-strength, or with "
          "--mode debonding debonded-area or largest-gap; unless given area-over-strength, of a bond that "
          "may let go debonded-area")
      ->type_name("NUMBER");
  command
      ->add_option("--below", wait.below,
                   "The limit: areas in % of the wall (5 unless given), ratio (1 unless given), gap in um")
      ->type_name("LIMIT");
  command
      ->add_option("--before", wait.before,
                   "The [[plan.increment]] that waits, counted from 1; the first unless given")
      ->check(whole_number(1, 1000))
      ->type_name("N");
  command
      ->add_option("--longest", wait.longest, "Longest wait to try, such as \"10 min\"; 30 min unless given")
      ->type_name("TIME");
  command->add_option("--within", wait.within, "The answer may be this much too long; 5 s unless given")
      ->type_name("TIME");
  command->add_option("--points", wait.points, "Waits tried at first, from 0 to the longest; 9 unless given")
      ->check(whole_number(2, 1000))
      ->type_name("N");
  command
      ->add_option(
          "--law", wait.laws,
          "Strength matures by: of-the-case, chairside-rule, ten-minute-pair, mature-at-once; several by "
          "repeating; all unless given, of a bond that may let go of-the-case alone, as each law is then "
          "solved by "
          "itself")
      ->type_name("LAW")
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

CLI::App* add_command(CLI::App& app, CommandLine& line, CommandLine::Command which, const char* name,
                      const char* purpose, const char* example) {
  CLI::App* command = app.add_subcommand(name, purpose);
  command->footer(fmt::format("Example:\n  {}", example));
  command->callback([&line, which] { line.command = which; });
  return command;
}

void describe(CLI::App& app, CommandLine& line) {
  using Command = CommandLine::Command;
  app.require_subcommand(1);
  app.set_version_flag("--version", fmt::format("setstress {}", SETSTRESS_VERSION));
  app.footer(
      fmt::format("Start with:\n  setstress list\n  setstress check deep-box-bulk\n  setstress run "
                  "deep-box-bulk\n\nsetstress COMMAND --help says more, with an example.\n\n{}",
                  caution_line));

  CLI::App* run =
      add_command(app, line, Command::run, "run", "Solve a case and write the history of its bond",
                  "setstress run deep-box-bulk --mode debonding --out results-bulk");
  run->add_option("case", line.inputs, case_help)->required()->expected(1)->type_name("CASE");
  add_run_options(run, line);
  add_profile(run, line);

  CLI::App* compare = add_command(
      app, line, Command::compare, "compare", "Run two or more cases and say what differs",
      "setstress compare deep-box-layers deep-box-floor-layer --out results-compared\n  "
      "setstress compare deep-box-bulk deep-box-layers --why --odds 64\n\n--why makes both plans again "
      "without "
      "the light they lose, with one composite, one adhesive, one tooth and a\nmature bond in both, as "
      "far as the two differ in that or it acts, and shares the difference out among these causes\nand "
      "how they are placed. The parts add up to the difference. It says first how many solutions that "
      "takes.\n\n--odds makes both plans under the same draws of everything uncertain ([spread], see "
      "cases/README.md), as many side by side as\nthere are cores, and says by wall in what share of them "
      "the "
      "second plan is lower. Ctrl-C keeps the draws made; the same\ncommand goes on from there, and so does "
      "one "
      "that asks for more.");
  compare->add_option("cases", line.inputs, "Cases, or folders written by setstress run")
      ->required()
      ->expected(2, 64)
      ->type_name("CASE CASE");
  add_why_and_odds(compare, line);
  add_run_options(compare, line);
  add_profile(compare, line);

  CLI::App* check =
      add_command(app, line, Command::check, "check",
                  "Say all that can be known of a case without solving it", "setstress check my-case.toml");
  check->add_option("case", line.inputs, case_help)->required()->expected(1)->type_name("CASE");
  check->add_option("--out", line.out, "Write the report as JSON to this file as well")->type_name("FILE");
  add_fineness(check, line);
  add_report_options(check, line);

  CLI::App* mesh = add_command(app, line, Command::mesh, "mesh", "Write the mesh of a case (.vtu or .msh)",
                               "setstress mesh deep-box-bulk --fineness fine --out deep-box.vtu");
  mesh->add_option("case", line.inputs, case_help)->required()->expected(1)->type_name("CASE");
  mesh->add_option("--out", line.out, "File to write, ending in .vtu or .msh; CASE.vtu unless given")
      ->type_name("FILE");
  add_fineness(mesh, line);
  add_report_options(mesh, line);

  CLI::App* page = add_command(app, line, Command::page, "page",
                               "Write one to four results as one HTML file to turn, cut and play",
                               "setstress page results-bulk results-layers --out page.html");
  page->add_option("results", line.inputs, "Folders written by setstress run")
      ->required()
      ->expected(1, 4)
      ->type_name("RESULT");
  page->add_option("--out", line.out, "File to write, ending in .html; page.html unless given");
  page->add_flag("--quiet", line.quiet, "Say nothing but errors");

  CLI::App* fit =
      add_command(app, line, Command::fit, "fit",
                  "Find the constants of a composite's laws, or of a bond's, from measured curves",
                  "setstress fit invented-paste --out my-fit\n\nMEASUREMENTS names the class to "
                  "start from, the curves (CSV "
                  "tables whose headings have a unit, such as\ntime [s],conversion [%]) and the "
                  "constants to be found, with "
                  "bounds; every value of a composite in materials/README.md\ncan be one. Kinds "
                  "of curve: conversion, shrinkage "
                  "(of volume) and modulus over time, at one depth or with a column\ndepth [mm]; "
                  "stress of a bar in a frame of "
                  "stated stiffness over time; transmission over thickness. From a class of "
                  "adhesive, with a substrate:\nbond-strength over age and area (age [min],area "
                  "[mm2],bond-strength [MPa]; \"invented-bond\"). Each curve is "
                  "weighed\nby its own scatter, or its data by their errors. Out come "
                  "material.toml, a class for [materials] files of a case, with standard errors "
                  "and correlations,\na page, and "
                  "charts of what is left. A constant that the data do not fix is said to be so. "
                  "\"invented-paste\" is ready-made "
                  "and\ninvented: copy cases/ready/measurements/ to begin with.");
  fit->add_option("measurements", line.inputs, "TOML file of measurements, or a ready-made name")
      ->required()
      ->expected(1)
      ->type_name("MEASUREMENTS");
  fit->add_option("--out", line.out, "Folder to write; fit-NAME unless given");
  fit->add_flag("--json", line.json, "Print the numbers as JSON");
  fit->add_flag("--quiet", line.quiet, "Say nothing but errors");

  CLI::App* wait = add_command(
      app, line, Command::wait, "wait", "Find the shortest wait that keeps a wall within its strength",
      "setstress wait deep-box-layers deep-box-floor-layer --below "
      "5\n  setstress wait deep-box-bulk "
      "--mode debonding --wall all --below 10\n\nEach case is solved with "
      "waits from none to the longest, then "
      "closer where the limit is first met, under each\nlaw of how the bond gains "
      "strength. Several cases are compared by "
      "chair time: from the cured bond to the last\nlight off. Where no wait is "
      "enough, or waiting longer makes it worse, "
      "the answer says so.\nWaits that are solved are kept: after Ctrl-C, or a kill, the "
      "same command goes on from them.");
  wait->add_option("cases", line.inputs, case_help)->required()->expected(1, 64)->type_name("CASE [CASE]");
  add_wait_options(wait, line.wait);
  add_run_options(wait, line);

  add_picture_options(
      add_command(app, line, Command::picture, "picture", "Draw one to four results for a slide",
                  "setstress picture results-bulk --show cut --at worst --background dark --out cut.png\n  "
                  "setstress picture results-bulk results-layers --show walls --at end --out walls.svg"),
      line);
  add_film_options(add_command(app, line, Command::film, "film",
                               "Film placing and curing of one or two results side by side",
                               "setstress film results-bulk results-layers --out plans.mp4"),
                   line);
  add_lesson_options(
      add_command(
          app, line, Command::lesson, "lesson",
          "Compute a short teaching set: what pulls on what, when, what waiting and layers buy, where "
          "it lets go, what would change the answer",
          "setstress lesson --out lesson\n\nThe cases are invented. Every number in the text comes "
          "from the runs made here. Ctrl-C\nkeeps the chapters that are finished; the same command "
          "goes on from there."),
      line);

  CLI::App* desk =
      add_command(app, line, Command::desk, "desk",
                  "Set, run and compare plans on a page of this machine, without a text editor",
                  "setstress desk --folder my-plans\n  setstress desk --show results-compared\n\nServes a "
                  "page on 127.0.0.1 "
                  "alone and prints its address, which holds a token: nobody without it is answered.\nPlans "
                  "are case files, "
                  "results are folders, both in --folder and as every other command reads and writes "
                  "them.\nA page that is "
                  "closed leaves its runs running; Ctrl-C here ends the desk and what it started.");
  CLI::Option* folder = desk->add_option("--folder", line.desk_folder,
                                         "Where plans and results are kept; nothing else is read or written; "
                                         "setstress-desk unless given")
                            ->type_name("FOLDER");
  desk->add_option("--port", line.port, "Port to listen on; any that is free unless given")
      ->check(whole_number(1024, 65535))
      ->type_name("N");
  desk->add_option("--show", line.show,
                   "Reading mode for a lecture hall: only show the results in this folder")
      ->excludes(folder)
      ->type_name("FOLDER");
  desk->add_flag("--quiet", line.quiet, "Open no browser");

  describe_study(app, line.study)->callback([&line] { line.command = Command::study; });

  CLI::App* list =
      add_command(app, line, Command::list, "list",
                  "Show ready-made cases, material classes and laws, with their sources",
                  "setstress list --json\n  setstress list --copy deep-box-layers my-layers.toml");
  list->add_flag("--json", line.json, "Report as JSON on standard output");
  list->add_option(
          "--copy", line.inputs,
          "Write a ready-made case as a file of your own, in one piece; FILE is NAME.toml unless given")
      ->expected(1, 2)
      ->type_name("NAME [FILE]");
}

/// The first word, where it is meant for a command and is none.
void refuse_unknown_command(const CLI::App& app, int argc, const char* const* argv) {
  if (argc < 2 || argv[1][0] == '-') return;
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
  if (std::ranges::find(names, argv[1]) != names.end()) return;
  const auto guess = did_you_mean(argv[1], names);
  fmt::print(stderr, "setstress: \"{}\" is no command; {}commands are: {}\n", shortened(argv[1]),
             guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(names, ", "));
  std::exit(2);
}

/// An empty word is seldom meant: a variable of a script that was not set.
void refuse_empty_words(int argc, const char* const* argv) {
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (!word.empty() && !(word.starts_with("--") && word.ends_with("="))) continue;
    fmt::print(stderr, "setstress: word {} of the command is empty{}\n", i,
               i > 1 ? fmt::format(" (after \"{}\")", shortened(argv[i - 1])) : "");
    std::exit(2);
  }
}

/// The words after the first, the last one first, as the parser takes them.
std::vector<std::string> words_of(int argc, const char* const* argv) {
  std::vector<std::string> words;
  for (int i = 1; i < argc; ++i) {
    const bool placing = std::string_view(argv[i]) == "placing" && std::string_view(argv[i - 1]) == "--why";
    words.emplace_back(placing ? placing_flag : argv[i]);
  }
  std::ranges::reverse(words);
  return words;
}

}  // namespace

CommandLine parse_command_line(int argc, const char* const* argv) {
  CLI::App app{about, "setstress"};
  CommandLine line;
  describe(app, line);
  refuse_values_of_flags(app);
  refuse_empty_words(argc, argv);
  refuse_unknown_command(app, argc, argv);
  try {
    app.parse(words_of(argc, argv));
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) std::exit(app.exit(error));  // help and version
    fmt::print(stderr, "{}", refusal_of(app, error));
    std::exit(2);
  }
  line.settings.quiet = line.quiet;
  return line;
}

}  // namespace setstress
