#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "cases/why/why_report.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

std::optional<Why> find_why(const Case& first, const Case& second, std::optional<double> seconds_each,
                            bool quiet) {
  const InterruptGuard interrupt;
  ProgressLine progress("why", quiet);
  const WhyRuns runs(first, second);
  if (!quiet)
    fmt::print(stderr, "setstress: why: {} solution{} to make{}\n", runs.solutions(),
               runs.solutions() == 1 ? "" : "s",
               seconds_each ? ", about " + duration_text(runs.solutions() * *seconds_each) : "");
  try {
    return runs.solve([&](double share, int solved) {
      progress.show(share, fmt::format("{} of {} solutions", solved, runs.solutions()));
      return !interrupt.asked_to_stop();
    });
  } catch (const RunsStopped&) {
    return std::nullopt;
  }
}

void write_why(const Why& why, const std::filesystem::path& folder) {
  write_file(folder / "why.json", why_json(why).dump(2) + "\n");
  const Chart chart = why_chart(why);
  if (!chart.bars.empty()) write_file(folder / "why.svg", chart_file(chart));
}

}  // namespace setstress
