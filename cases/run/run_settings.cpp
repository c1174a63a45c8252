#include "cases/run/run_settings.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>

#include "cases/file/meshing_fault.hpp"
#include "cases/file/read_case.hpp"
#include "cases/reader/data_folder.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

/// The settings as a table of a case file. A fineness takes the place of all sizes that the case gives.
toml::table table_of(const RunSettings& settings) {
  toml::table mesh, solver;
  if (settings.fineness) {
    const double size = read_fineness(*settings.fineness).bond;
    if (std::isdigit(static_cast<unsigned char>(settings.fineness->front())) != 0)
      mesh.insert("fineness", size);
    else
      mesh.insert("fineness", *settings.fineness);
  }
  if (settings.force) mesh.insert("beyond_memory", true);
  if (settings.mode) solver.insert("mode", *settings.mode == Mode::intact ? "intact" : "debonding");
  if (settings.solver)
    solver.insert("linear_solver", *settings.solver == LinearSolver::direct ? "direct" : "two-level");
  toml::table all;
  if (!mesh.empty()) all.insert("mesh", std::move(mesh));
  if (!solver.empty()) all.insert("solver", std::move(solver));
  return all;
}

/// Planes are cut one after the other, once to see whether they can be and once for the mesh: with 109
/// increments 80 s on the machine that the times of `check` are of, and with the square of their number.
void tell_of_cutting(const Case& input) {
  const auto planes = static_cast<double>(input.plan.layout.size());
  const double seconds = 80 * (planes / 108) * (planes / 108);
  if (seconds < 2) return;
  fmt::print(stderr, "{}: cutting the filling into {} increments, about {}\n", input.name, planes + 1,
             duration_text(seconds));
}

}  // namespace

Case case_for(const std::string& name_or_path, const RunSettings& settings) {
  const std::filesystem::path file = find_case(name_or_path);
  CaseLayers layers = case_layers(file);
  if (settings.fineness)
    for (const auto& layer : layers)
      for (const char* size : {"mesh.filling", "mesh.far"}) (void)take_back(*layer, size);
  if (toml::table above = table_of(settings); !above.empty()) {
    std::ostringstream text;
    text << above;
    layers.insert(layers.begin(), parse_toml(text.str(), "command line"));
  }
  Case input = read_case_numbers(layers, file.stem().string());
  if (!settings.quiet) tell_of_cutting(input);
  blaming_case(input, [&] { check(input.geometry); });
  input.solver.threads = settings.threads;
  return input;
}

}  // namespace setstress
