#include <fmt/format.h>

#include "cases/check/case_check.hpp"
#include "cases/commands/commands.hpp"
#include "cases/pose/pose.hpp"
#include "cases/run/run_settings.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

int check_command(const CommandLine& line) {
  const Case input = case_for(line.inputs.front(), line.settings);
  const nlohmann::ordered_json report = check_report(input, pose(input));
  if (!line.out.empty()) write_file(line.out, report.dump(2) + "\n");
  if (line.json)
    fmt::print("{}\n", report.dump(2));
  else if (!line.quiet)
    fmt::print("{}", as_text(report));
  return 0;
}

}  // namespace setstress
