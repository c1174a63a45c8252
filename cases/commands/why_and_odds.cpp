#include "cases/commands/why_and_odds.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <nlohmann/json.hpp>

#include "cases/file/read_case.hpp"
#include "cases/odds/odds_report.hpp"
#include "cases/study/runs/lanes.hpp"
#include "cases/why/placing_report.hpp"
#include "cases/why/why_report.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr const char* odds_database_name = "odds.sqlite";
constexpr const char *why_title = "Why", *placing_title = "Which increment", *odds_title = "How sure";

/// Draws are kept beside the folder that they will be put into, whatever happens to that.
std::filesystem::path kept_beside(const std::filesystem::path& out) {
  std::filesystem::path plain = out.lexically_normal();
  if (!plain.has_filename()) plain = plain.parent_path();
  return plain.string() + ".odds.sqlite";
}

/// The database of draws among the other files.
void keep_draws_in(const std::filesystem::path& folder, const std::filesystem::path& draws) {
  std::error_code failure;
  std::filesystem::copy_file(draws, folder / odds_database_name, failure);
  if (failure)
    throw std::runtime_error(fmt::format("cannot write {}: {}; the draws are kept in {}",
                                         (folder / odds_database_name).string(), failure.message(),
                                         draws.string()));
}

/// None unless they are asked for, or a GPU is and is there.
Lanes lanes_of_draws(const CommandLine& line) {
  const Lanes lanes = lanes_from(line.lanes, line.device);
  return line.lanes.empty() && lanes.machine == LaneMachine::processor ? Lanes{0} : lanes;
}

void add_odds_to(WhyAndOdds& found, const Case& first, const Case& second, double pace,
                 const CommandLine& line, const std::filesystem::path& out,
                 const std::filesystem::path& working) {
  found.draws = kept_beside(out);
  const OddsSettings settings{.draws = *line.odds,
                              .seed = static_cast<std::uint64_t>(line.seed.value_or(1)),
                              .processes = line.settings.threads,
                              .lanes = lanes_of_draws(line),
                              .quiet = line.quiet,
                              .pace = pace,
                              .database = found.draws,
                              .earlier = out / odds_database_name};
  const MeshSize mesh = fineness_of_draws(line);
  found.odds = judged(find_odds(meshed_for_draws(first, mesh), meshed_for_draws(second, mesh), settings));
  write_odds(*found.odds, working);
  keep_draws_in(working, found.draws);
  const Odds& odds = found.odds->odds;
  const auto made = static_cast<int>(odds.rows.size());
  if (made < odds.asked)
    found.stopped = fmt::format(
        "stopped as asked after {} of {} draws, which were kept; the same command goes on from there", made,
        odds.asked);
}

}  // namespace

MeshSize fineness_of_draws(const CommandLine& line) {
  try {
    return read_fineness(line.odds_fineness.value_or("coarse"));
  } catch (const CaseError& error) {
    constexpr std::string_view option = "--fineness";
    const std::string said = error.what();
    throw CaseError(said.starts_with(option) ? "--odds-fineness" + said.substr(option.size()) : said);
  }
}

ordered_json WhyAndOdds::answers() const {
  ordered_json all = ordered_json::array();
  const auto add = [&](const char* title, const std::vector<std::string>& sentences) {
    all.push_back({{"title", title}, {"sentences", sentences}});
  };
  if (why) add(why_title, why_sentences(*why));
  if (!placing.empty()) add(placing_title, placing_sentences(placing));
  if (odds) add(odds_title, odds_sentences(*odds));
  return all;
}

ordered_json WhyAndOdds::charts() const {
  ordered_json all = ordered_json::array();
  const auto add = [&](const char* title, const std::vector<Chart>& charts) {
    ordered_json drawn = ordered_json::array();
    for (const Chart& chart : charts) drawn.push_back(chart_svg(chart));
    all.push_back({{"title", title}, {"charts", drawn}});
  };
  if (why) add(why_title, why_charts(*why));
  if (!placing.empty()) add(placing_title, placing_charts(placing));
  if (odds) add(odds_title, odds_charts(*odds));
  return all;
}

std::string WhyAndOdds::tables() const {
  return (why ? "\n" + why_text(*why) : "") + (placing.empty() ? "" : "\n" + placing_text(placing)) +
         (odds && odds->odds.done() > 0 ? "\n" + odds_text(*odds) : "");
}

std::string WhyAndOdds::files() const {
  return std::string(why ? "why.json, why.svg, " : "") +
         (placing.empty() ? "" : "placing.json, placing.svg, placing-1.svg, placing-2.svg, ") +
         (odds ? "odds.json, odds.csv, odds.sqlite, odds.svg, odds-difference.svg, " : "");
}

std::string WhyAndOdds::in_brief() const {
  std::string text;
  const auto add = [&](const char* title, const std::vector<std::string>& sentences) {
    text += fmt::format("\n{}\n  {}\n", title, fmt::join(sentences, "\n  "));
  };
  if (why) add(why_title, why_in_brief(*why));
  if (!placing.empty()) add(placing_title, placing_sentences(placing));
  if (odds) add(odds_title, odds_in_brief(*odds));
  return text;
}

void WhyAndOdds::published() const {
  std::error_code ignored;  // what is left is taken over by the next one
  if (!draws.empty()) std::filesystem::remove(draws, ignored);
}

WhyAndOdds why_and_odds(const Case& first, const Case& second, const Effort& effort, const MadeRuns& made,
                        const CommandLine& line, const std::filesystem::path& out,
                        const std::filesystem::path& working) {
  WhyAndOdds found;
  if (line.why) {
    found.why = find_why(first, second, effort.seconds_each, line.quiet, made);
    if (!found.why) {
      found.stopped = "stopped as asked; compared, but not taken apart";
      return found;
    }
    write_why(*found.why, working);
  }
  if (line.why_placing) {
    auto placing = find_placing(first, second, effort.seconds_each, line.quiet, made);
    if (!placing) {
      found.stopped = "stopped as asked; compared, but placing was not taken apart";
      return found;
    }
    found.placing = std::move(*placing);
    write_placing(found.placing, working);
  }
  if (line.odds) add_odds_to(found, first, second, effort.pace, line, out, working);
  return found;
}

}  // namespace setstress
