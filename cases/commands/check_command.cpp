#include <fmt/format.h>

#include "cases/check/case_check.hpp"
#include "cases/commands/commands.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/run_cost.hpp"
#include "cases/run/run_settings.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

int check_command(const CommandLine& line) {
  const Case input = case_for(line.inputs.front(), line.settings);
  const auto tell = [&](double unknowns) {
    constexpr double seconds_to_mesh_them = 3e5;
    if (line.quiet || unknowns < seconds_to_mesh_them) return;
    fmt::print(stderr,
               "meshing: about {:.0f} thousand unknowns; a run takes about {} on two cores and {:.1f} GB of "
               "memory\n",
               unknowns / 1000, duration_text(estimated_seconds(input, unknowns)),
               estimated_memory(input, unknowns) / (1024.0 * 1024 * 1024));
  };
  const nlohmann::ordered_json report = check_report(input, pose(input, mesh_of(input, tell)));
  if (!line.out.empty()) write_file(line.out, report.dump(2) + "\n");
  if (line.json)
    fmt::print("{}\n", report.dump(2));
  else if (!line.quiet)
    fmt::print("{}", as_text(report));
  return 0;
}

}  // namespace setstress
