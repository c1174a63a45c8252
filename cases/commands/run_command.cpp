#include <fmt/format.h>

#include "cases/commands/commands.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/run/runner.hpp"
#include "cases/words/summary_text.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

int run_command(const CommandLine& line) {
  const Case input = case_for(line.inputs.front(), line.settings);
  const std::filesystem::path out =
      line.out.empty() ? std::filesystem::path("results-" + input.name) : line.out;
  const RunReport report = run_case(input, out, line.quiet);
  if (line.json)
    fmt::print("{}\n", report.summary.dump(2));
  else if (!line.quiet)
    fmt::print(
        "{}\nFiles in {}: {}frames.pvd for any VTK viewer, walls.csv, summary.json, "
        "manifest.json\n{}\n",
        summary_text(report.summary), out.string(),
        std::filesystem::exists(out / ResultLayout::bond_picture) ? "bond.png to look at, " : "",
        caution_line);
  for (const std::string& warning : report.warnings) fmt::print(stderr, "setstress: note: {}\n", warning);
  if (line.profile) fmt::print(stderr, "{}", profile_text(report.profile));
  if (report.finished) return 0;
  fmt::print(stderr, "setstress: stopped at {:.1f} s as asked; what was solved until then is whole, in {}\n",
             report.summary.at("end_time_s").get<double>(), out.string());
  return 1;
}

}  // namespace setstress
