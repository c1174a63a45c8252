#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "cases/why/placing_report.hpp"
#include "cases/why/why_report.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

/// Says what `runs` take, then makes them. Empty where Ctrl-C stopped it.
template <class Runs>
auto solved(const char* task, const Runs& runs, std::optional<double> seconds_each, bool quiet,
            ProgressLine& progress, const InterruptGuard& interrupt)
    -> std::optional<decltype(runs.solve({}))> {
  if (!quiet)
    fmt::print(stderr, "setstress: {}: {} solution{} to make{}\n", task, runs.solutions(),
               runs.solutions() == 1 ? "" : "s",
               seconds_each ? ", about " + duration_text(runs.solutions() * *seconds_each) : "");
  try {
    return runs.solve([&](double share, int made) {
      progress.show(share, fmt::format("{} of {} solutions", made, runs.solutions()));
      return !interrupt.asked_to_stop();
    });
  } catch (const RunsStopped&) {
    return std::nullopt;
  }
}

}  // namespace

std::optional<Why> find_why(const Case& first, const Case& second, std::optional<double> seconds_each,
                            bool quiet, const MadeRuns& made) {
  const InterruptGuard interrupt;
  ProgressLine progress("why", quiet);
  return solved("why", WhyRuns(first, second, made), seconds_each, quiet, progress, interrupt);
}

std::optional<std::vector<Placing>> find_placing(const Case& first, const Case& second,
                                                 std::optional<double> seconds_each, bool quiet,
                                                 const MadeRuns& made) {
  const InterruptGuard interrupt;
  ProgressLine progress("placing", quiet);
  return solved("placing", PlacingRuns(first, second, made), seconds_each, quiet, progress, interrupt);
}

void write_why(const Why& why, const std::filesystem::path& folder) {
  write_file(folder / "why.json", why_json(why).dump(2) + "\n");
  for (const Chart& chart : why_charts(why)) write_file(folder / "why.svg", chart_file(chart));
}

}  // namespace setstress
