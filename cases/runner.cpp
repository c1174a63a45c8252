#include "cases/runner.hpp"

#include <fmt/format.h>

#include "cases/frame_writer.hpp"
#include "cases/interrupt.hpp"
#include "cases/manifest.hpp"
#include "cases/optional_picture.hpp"
#include "cases/pose.hpp"
#include "cases/progress.hpp"
#include "cases/result_folder.hpp"
#include "cases/summary.hpp"
#include "viz/pictures.hpp"
#include "viz/write_file.hpp"

namespace setstress {

namespace {

/// `run` hands every frame to a sink.
SolvedCase solved_by(const Case& input, const Model& model, const StepWatch& watch,
                     const std::function<Outcome(const FrameSink&)>& run) {
  SolvedCase solved;
  solved.outcome = run([&](const Frame& frame, const Progress& at) {
    solved.history.push_back(history_entry(model, frame));
    return watch(frame, solved.history.back(), at);
  });
  solved.summary =
      summarise(input, model, solved.history, solved.outcome.largest_energy_error, solved.outcome.finished);
  return solved;
}

/// Runs the solver, keeping numbers of every step and files of the wanted ones.
SolvedCase solve_into(const Case& input, const Model& model, const std::filesystem::path& folder,
                      bool quiet) {
  FrameWriter writer(model, input, folder);
  ProgressLine progress(input.name, quiet);
  const InterruptGuard interrupt;
  SolvedCase solved =
      solve_case(input, model, [&](const Frame& frame, const HistoryEntry& entry, const Progress& at) {
        writer.offer(frame, entry.rows.empty() ? std::pair{0.0, 0.0} : badness(entry.rows.back().statistics));
        progress.show(at.fraction, fmt::format("{:.1f} s of {:.0f} s{}", at.time, at.end,
                                               frame.light_on ? ", light on" : ""));
        return !interrupt.asked_to_stop();
      });
  writer.finish();
  return solved;
}

}  // namespace

SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch) {
  return solved_by(input, model, watch,
                   [&](const FrameSink& sink) { return simulate(model, input.solver, sink); });
}

SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch,
                      const SharedMesh& shared) {
  return solved_by(input, model, watch,
                   [&](const FrameSink& sink) { return simulate(model, input.solver, sink, shared); });
}

RunReport run_case(const Case& input, const std::filesystem::path& out, bool quiet) {
  ResultFolder folder(out);
  const Model model = pose(input);
  SolvedCase solved = solve_into(input, model, folder.working(), quiet);
  RunReport report{.summary = std::move(solved.summary),
                   .folder = out,
                   .timings = solved.outcome.timings,
                   .warnings = solved.outcome.warnings,
                   .finished = solved.outcome.finished};
  write_file(folder.working() / ResultLayout::walls, walls_table(solved.history));
  write_file(folder.working() / ResultLayout::energies, energies_table(solved.history));
  write_file(folder.working() / ResultLayout::holds, holds_table(model, solved.history));
  write_file(folder.working() / ResultLayout::summary, report.summary.dump(2) + "\n");
  if (!model.mesh.bond.empty())
    if (const auto why = unless_drawn(
            [&] { draw_bond(read_result(folder.working()), folder.working() / ResultLayout::bond_picture); }))
      report.warnings.push_back(fmt::format("no {} was made: {}", ResultLayout::bond_picture, *why));
  write_file(folder.working() / ResultLayout::manifest,
             manifest_of(input, model.mesh, solved.outcome).dump(2) + "\n");
  folder.publish();
  return report;
}

std::string profile_text(const Timings& t) {
  return fmt::format(
      "Seconds: total {:.1f}; assembly {:.1f}, linear solver set-up {:.1f}, linear solves {:.1f}, bond "
      "{:.1f}, cure "
      "{:.1f}, frames {:.1f}\nSteps {} ({} rejected), equilibrium iterations {}, linear solves {} ({} "
      "iterations, at "
      "most {} in one), coarse factorisations {}, direct solver stepped in {} times\n",
      t.total, t.assembly, t.setup, t.linear_solve, t.bond_update, t.cure, t.frames, t.steps,
      t.rejected_steps, t.equilibrium_iterations, t.linear_solves, t.linear_iterations,
      t.most_linear_iterations, t.coarse_factorisations, t.direct_fallbacks);
}

}  // namespace setstress
