#include "cases/commands/why_and_odds.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/file/read_case.hpp"
#include "cases/odds/odds_report.hpp"
#include "cases/why/why_report.hpp"

namespace setstress {

namespace {

/// On the mesh of the draws.
Case meshed_for_odds(Case input, const CommandLine& line) {
  const bool tied = input.mesh_size.tied_bond;
  input.mesh_size = read_fineness(line.odds_fineness);
  input.mesh_size.tied_bond = tied;
  return input;
}

void add_odds_to(WhyAndOdds& found, const Case& first, const Case& second, const CommandLine& line,
                 const std::filesystem::path& before, const std::filesystem::path& working) {
  const OddsSettings settings{.draws = *line.odds,
                              .seed = static_cast<std::uint64_t>(line.seed),
                              .processes = line.settings.threads,
                              .quiet = line.quiet};
  found.odds = find_odds(meshed_for_odds(first, line), meshed_for_odds(second, line), settings,
                         [&](const Odds& odds) { return rows_before(before, odds); });
  write_odds(*found.odds, working);
  const auto made = static_cast<int>(found.odds->rows.size());
  if (made < found.odds->asked)
    found.stopped = fmt::format(
        "stopped as asked after {} of {} draws, which were kept; the same command goes on from there", made,
        found.odds->asked);
}

}  // namespace

std::vector<std::string> WhyAndOdds::sentences() const {
  std::vector<std::string> all;
  if (why) all = why_sentences(*why);
  if (odds)
    for (const std::string& sentence : odds_sentences(*odds)) all.push_back(sentence);
  return all;
}

std::string WhyAndOdds::tables() const {
  return (why ? "\n" + why_text(*why) : "") + (odds && odds->done() > 0 ? "\n" + odds_text(*odds) : "");
}

std::string WhyAndOdds::files() const {
  return std::string(why ? "why.json, why.svg, " : "") +
         (odds ? "odds.json, odds.csv, odds.svg, odds-difference.svg, " : "");
}

WhyAndOdds why_and_odds(const Case& first, const Case& second, std::optional<double> seconds_each,
                        const CommandLine& line, const std::filesystem::path& before,
                        const std::filesystem::path& working) {
  WhyAndOdds found;
  if (line.why) {
    found.why = find_why(first, second, seconds_each, line.quiet);
    if (!found.why) {
      found.stopped = "stopped as asked; compared, but not taken apart";
      return found;
    }
    write_why(*found.why, working);
  }
  if (line.odds) add_odds_to(found, first, second, line, before, working);
  return found;
}

}  // namespace setstress
