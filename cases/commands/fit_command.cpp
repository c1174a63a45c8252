// setstress fit: constants of a composite's laws from measured curves.

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/commands/commands.hpp"
#include "cases/fit/fit_report.hpp"
#include "cases/reader/case_error.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {
namespace {

Fit found_with_progress(const Measurements& measurements, const InterruptGuard& interrupt, bool quiet) {
  ProgressLine progress("fit", quiet);
  try {
    return fit(measurements, [&](double share, int tried) {
      progress.show(share, fmt::format("{} sets of constants tried", tried));
      return !interrupt.asked_to_stop();
    });
  } catch (const FitStopped&) {
    throw std::runtime_error("stopped as asked; nothing was written");
  }
}

}  // namespace

int fit_command(const CommandLine& line) {
  const std::filesystem::path file = line.inputs.front();
  const Measurements measurements = read_measurements(
      is_file(file) ? file : find_ready_made(line.inputs.front(), ready_made_measurements(), "measurements"));
  const std::filesystem::path out =
      line.out.empty() ? std::filesystem::path("fit-" + measurements.name) : line.out;
  const InterruptGuard interrupt;  // what is found by then is written whole
  ResultFolder folder(out);
  const Fit found = found_with_progress(measurements, interrupt, line.quiet);
  const std::string json = fit_json(measurements, found).dump(2) + "\n";
  write_file(folder.working() / "material.toml", material_file(measurements, found));
  write_file(folder.working() / "fit.json", json);
  write_file(folder.working() / "fit.html", fit_page(measurements, found));
  for (std::size_t k = 0; k < measurements.curves.size(); ++k) {
    write_file(folder.working() / fmt::format("curve-{}.svg", k + 1),
               chart_file(curve_chart(measurements, found, k)));
    write_file(folder.working() / fmt::format("residuals-{}.svg", k + 1),
               chart_file(residual_chart(measurements, found, k)));
  }
  const nlohmann::ordered_json manifest{{"program", "setstress"},
                                        {"version", SETSTRESS_VERSION},
                                        {"command", "fit"},
                                        {"finished", true},
                                        {"caution", caution_line}};
  write_file(folder.working() / ResultLayout::manifest, manifest.dump(2) + "\n");
  folder.publish();
  if (line.json)
    fmt::print("{}", json);
  else if (!line.quiet)
    fmt::print("{}\nFiles in {}: material.toml, fit.html, fit.json and charts (.svg)\n{}\n",
               fit_text(measurements, found), out.string(), caution_line);
  return 0;
}

}  // namespace setstress
