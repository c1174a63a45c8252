#include <fmt/format.h>

#include <cstdio>
#include <ctime>
#include <memory>
#include <optional>
#include <set>

#include "cases/commands/commands.hpp"
#include "cases/commands/why_and_odds.hpp"
#include "cases/compare/comparison.hpp"
#include "cases/pose/run_cost.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/result/manifest.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/result/summary.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/kept_run.hpp"
#include "cases/run/optional_picture.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/run/runner.hpp"
#include "viz/charts/chart.hpp"
#include "viz/files/write_file.hpp"
#include "viz/page/page.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

/// One side of a comparison: a result folder that is there already, or a case to run.
struct Contender {
  std::optional<Case> input;
  fs::path folder;
  std::string name;
  double solving = 0;             ///< took so long [s]
  double processor = 0;           ///< on all cores together [s]
  std::unique_ptr<KeptRun> kept;  ///< its run, for what is asked besides; null: not kept
};

/// To be made again, cases must be there, and a pair.
void require_pair_of_cases(const CommandLine& line, const std::vector<Contender>& sides) {
  if (!line.why && !line.odds) return;
  if (sides.size() != 2)
    throw CaseError(fmt::format("--why and --odds take two cases, not {}; give two", sides.size()));
  for (const Contender& side : sides)
    if (!side.input)
      throw CaseError(
          fmt::format("{} makes runs again, and {} is a folder of results; give the case that it came from",
                      line.why ? "--why" : "--odds", side.folder.string()));
  for (const Contender& side : sides)
    if (line.why_placing) require_superposition(*side.input);
}

/// Reads every case before anything is run, so that a slip in the last one costs nothing. Names are made
/// different.
std::vector<Contender> read_sides(const CommandLine& line) {
  std::vector<Contender> sides;
  std::set<std::string> taken;
  for (const std::string& input : line.inputs) {
    Contender side;
    if (is_result_folder(input)) {
      side.folder = input;
      const ordered_json summary = read_summary(input);
      require_comparable(summary);
      side.name = summary.at("case").get<std::string>();
    } else {
      side.input = case_for(input, line.settings);
      side.name = side.input->name;
    }
    const std::string name = side.name;
    for (int copy = 2; !taken.insert(side.name).second; ++copy) side.name = fmt::format("{}-{}", name, copy);
    if (side.input) side.input->name = side.name;
    sides.push_back(std::move(side));
  }
  return sides;
}

/// `clocks` of processor time went into the whole run; solving had its share of them.
void note_effort(Contender& side, const Profile& profile, std::clock_t clocks) {
  side.solving = profile.counts.total;
  side.processor = static_cast<double>(clocks) / CLOCKS_PER_SEC * profile.counts.total / profile.whole;
}

/// Runs what is a case, into folders inside `folder`; the records of all.
std::vector<ResultRecord> run_all(std::vector<Contender>& sides, const ResultFolder& folder,
                                  const CommandLine& line) {
  std::vector<ResultRecord> records;
  for (Contender& side : sides) {
    if (side.input) {
      side.folder = folder.working() / side.name;
      const std::clock_t before = std::clock();
      const RunReport report = line.why ? run_case(*side.input, side.folder, line.quiet, side.kept)
                                        : run_case(*side.input, side.folder, line.quiet);
      if (line.profile) fmt::print(stderr, "{}:\n{}", side.name, profile_text(report.profile));
      if (!report.finished) throw std::runtime_error("stopped as asked; nothing was compared");
      note_effort(side, report.profile, std::clock() - before);
    }
    records.push_back({.summary = read_summary(side.folder), .manifest = read_manifest(side.folder)});
    records.back().summary["case"] = side.name;
  }
  return records;
}

/// The page beside the comparison; says why where there is none, for the comparison is worth having without.
void add_page(const std::vector<Contender>& sides, const fs::path& folder, ordered_json comparison,
              const WhyAndOdds& more) {
  comparison["charts"] = more.charts();
  comparison["chart_style"] = chart_style(false);
  PageOptions options{.results = {},
                      .out = folder / "page.html",
                      .page_template = page_template(),
                      .comparison = comparison.dump()};
  if (options.page_template.empty()) return;
  for (const Contender& side : sides) options.results.push_back(side.folder);
  try {
    write_page(options);
  } catch (const std::exception& error) {
    fmt::print(stderr, "setstress: note: no page.html was written: {}\n", error.what());
  }
}

/// Of sides that are cases, which were run.
Effort effort_of(const std::vector<Contender>& sides) {
  double seconds = 0, processor = 0, estimated = 0;
  for (const Contender& side : sides) {
    seconds += side.solving;
    processor += side.processor;
    estimated += estimated_seconds(*side.input, read_manifest(side.folder).at("mesh").at("unknowns"));
  }
  return {seconds / static_cast<double>(sides.size()), processor / estimated};
}

/// Of a pair, what was asked for besides; the answers go into `comparison`.
WhyAndOdds more_of(const std::vector<Contender>& sides, const CommandLine& line, const fs::path& out,
                   const fs::path& working, ordered_json& comparison) {
  if (!line.why && !line.odds) return {};
  MadeRuns made;
  for (const Contender& side : sides)
    if (side.kept) made.push_back(side.kept.get());
  WhyAndOdds more =
      why_and_odds(*sides[0].input, *sides[1].input, effort_of(sides), made, line, out, working);
  comparison["answers"] = more.answers();
  return more;
}

std::string long_text(const ordered_json& comparison, const WhyAndOdds& more) {
  return comparison_text(comparison) + more.tables();
}

/// In brief, what differs is told at once, before that which takes longer.
void tell_first(const ordered_json& comparison, const CommandLine& line) {
  if (!line.brief || line.json || line.quiet) return;
  fmt::print("{}", comparison_in_brief(comparison));
  std::fflush(stdout);
}

std::string rest_of_brief(const ordered_json& comparison, const WhyAndOdds& more) {
  return fmt::format("{}\n{}", more.in_brief(), comparison.at("limits").get<std::string>());
}

std::string files_text(const fs::path& out, const WhyAndOdds& more) {
  return fmt::format("Files in {}: {}{}{}comparison.json, and a folder for each case that was run",
                     out.string(), fs::exists(out / "comparison.png") ? "comparison.png to look at, " : "",
                     fs::exists(out / "page.html") ? "page.html to turn and play, " : "", more.files());
}

/// Options of draws, where none are made.
void refuse_idle_options(const CommandLine& line) {
  if (line.odds) {
    (void)fineness_of_draws(line);
    return;
  }
  for (const auto& [is_given, option] : {std::pair{line.odds_fineness.has_value(), "--odds-fineness"},
                                         {line.seed.has_value(), "--seed"},
                                         {!line.lanes.empty(), "--lanes"},
                                         {!line.device.empty(), "--device"}})
    if (is_given) throw CaseError(fmt::format("{} changes nothing without --odds; leave it out", option));
}

}  // namespace

int compare_command(const CommandLine& line) {
  refuse_idle_options(line);
  std::vector<Contender> sides = read_sides(line);
  require_pair_of_cases(line, sides);
  const fs::path out = line.out.empty() ? fs::path("results-compared") : line.out;
  ResultFolder folder(out);
  const InterruptGuard interrupt;  // what was compared stays when only what comes after it is stopped
  ordered_json comparison = compare_results(run_all(sides, folder, line));
  tell_first(comparison, line);
  const WhyAndOdds more = more_of(sides, line, out, folder.working(), comparison);
  std::vector<Result> results;
  std::vector<std::string> names;
  for (const Contender& side : sides) {
    results.push_back(read_result(side.folder));
    names.push_back(side.name);
  }
  if (const auto why_not = OptionalPicture().unless_drawn(
          [&] { draw_comparison(results, names, folder.working() / "comparison.png"); }))
    fmt::print(stderr, "setstress: note: no comparison.png was made: {}\n", *why_not);
  write_file(folder.working() / "comparison.json", comparison.dump(2) + "\n");
  add_page(sides, folder.working(), comparison, more);
  ordered_json manifest{{"program", "setstress"},
                        {"version", SETSTRESS_VERSION},
                        {"finished", true},
                        {"compared", names},
                        {"caution", caution_line}};
  write_file(folder.working() / ResultLayout::manifest, manifest.dump(2) + "\n");
  folder.publish();
  more.published();
  if (line.json)
    fmt::print("{}\n", comparison.dump(2));
  else if (!line.quiet)
    fmt::print("{}\n{}\n{}\n", line.brief ? rest_of_brief(comparison, more) : long_text(comparison, more),
               files_text(out, more), caution_line);
  if (!more.stopped.empty()) fmt::print(stderr, "setstress: {}\n", more.stopped);
  return more.stopped.empty() ? 0 : 1;
}

}  // namespace setstress
